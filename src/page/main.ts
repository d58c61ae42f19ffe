/** Browser entry of the report. */
export {};
