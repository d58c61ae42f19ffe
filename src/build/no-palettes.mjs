/** Stands in for the palettes of d3-scale-chromatic, which Vega takes apart at its start: charts name their own colours. */
const none = "";
export {
  none as schemeAccent,
  none as schemeCategory10,
  none as schemeDark2,
  none as schemeObservable10,
  none as schemePaired,
  none as schemePastel1,
  none as schemePastel2,
  none as schemeSet1,
  none as schemeSet2,
  none as schemeSet3,
};
