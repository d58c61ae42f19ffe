/**
 * Stands in for proj4 in the desk, for which it is too large: places in degrees need no projection.
 *
 * @param {string} projection  text of a .prj
 */
export default function proj4(projection) {
  if (/^\s*GEOG/i.test(projection)) return { inverse: (place) => place };
  // Only at the first place: what is thrown before, shpjs takes for no projection at all.
  return {
    inverse() {
      throw Object.assign(new Error("a projection"), { name: "ProjectionUnread" });
    },
  };
}
