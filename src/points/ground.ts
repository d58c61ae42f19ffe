/** Degrees → metres on the ground of one field. */

/** World Geodetic System 1984 (NGA.STND.0036): half the longer axis [m], and the flattening. */
const longerAxisM = 6_378_137;
const flattening = 1 / 298.257223563;
const eccentricitySquared = flattening * (2 - flattening);

/**
 * Metres that a degree is long at a latitude, from the ellipsoid's two radii of curvature.
 *
 * Within a field of some kilometres this flat picture is right to about one part in a thousand at its edges and far
 * better inside; areas come from widths and distances, not from it.
 *
 * @example metresPerDegree(45) // { north: 111_132, east: 78_847 }
 */
export function metresPerDegree(latitude: number): { north: number; east: number } {
  const radians = (latitude * Math.PI) / 180;
  const part = 1 - eccentricitySquared * Math.sin(radians) ** 2;
  const meridian = (longerAxisM * (1 - eccentricitySquared)) / part ** 1.5;
  const across = longerAxisM / Math.sqrt(part);
  return { north: (meridian * Math.PI) / 180, east: (across * Math.cos(radians) * Math.PI) / 180 };
}

/** A place on the globe that becomes (0, 0). */
export interface Origin {
  latitude: number;
  longitude: number;
}

/** Puts degrees into metres from the origin, in place: `x` holds longitudes and `y` latitudes. */
export function toMetres(x: Float64Array, y: Float64Array, origin: Origin): void {
  const { north, east } = metresPerDegree(origin.latitude);
  for (let i = 0; i < x.length; i++) {
    x[i] = (x[i]! - origin.longitude) * east;
    y[i] = (y[i]! - origin.latitude) * north;
  }
}
