// Stands in for parts of packages that are not used: whatever is asked of it is undefined.
module.exports = {};
