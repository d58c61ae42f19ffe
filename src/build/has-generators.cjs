/** Every browser that can open the page has generators. */
module.exports = () => true;
