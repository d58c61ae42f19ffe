/** Stands in for parts of a library that are left out of the page. */
export {};
