/** What the steps from points to strips go by. */

/** Limits of the steps. Sources stand beside them; what has none is common practice. */
export const limits = {
  /** Ramp of flow at the start and the end of a pass [m]; most of what filters leave out (Simbahan et al. 2004). */
  rampM: 15,
  /** Speed against the pass's own, and its change from point to point (Sudduth & Drummond 2007 filter both). */
  slowest: 0.5,
  fastest: 1.5,
  speedJump: 0.25,
  /** Cut narrower than this share of the full width (Simbahan et al. 2004 filter short segments and overlap). */
  shortSwath: 0.9,
  /** Ground cut before, as a share of the width and in metres, whichever is more. */
  overlapShare: 0.15,
  overlapM: 0.6,
  /** Robust standard deviations from the middle of the pass around it. */
  farOut: 3.5,
  /** Times the field's middle yield that no spot gives. */
  beyondMiddle: 4,
  /** Share of a cut that may lie in another strip and be skipped, and that must lie on seeded ground. */
  inOther: 0.02,
  onSeeded: 0.8,
  /** A cut in more strips than this says nothing about any of them. */
  strips: 3,
  /** What a cut is shared by may change by this much from point to point: more is where the seed changes. */
  sharesJump: 0.25,
  /** Inside each end of a strip, and from each change of rate [m]: a reading averages about 30 m (Knight & Pettitt 2003). */
  insideM: 30,
  /** The same, round in the reader's own unit. */
  insideTold: { us: "100 ft", metric: "30 m" },
} as const;
