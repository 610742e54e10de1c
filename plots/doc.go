// Package plots draws results: one chart for each trend, drift by maker, price
// verdicts, what makes up a price, parts side by side and the tables of a year.
//
// A chart function takes result structs and returns a *Chart, which knows
// nothing of sizes or file formats yet; Render draws it into memory as PNG,
// SVG or PDF. Nothing is written to disk, nothing is computed that the
// results do not already hold, and no state is shared between charts: the
// same chart with the same options gives the same bytes.
//
// Every chart states its finding in the title, names the products that stand
// out beside their marks, tells kinds of marks apart by shape as well as by
// colour, and says in the corner how much data it rests on.
//
// Below it stand the page that is drawn on (page), the panels of a drift chart
// (panels), the placing of names (labels), the words (words) and the formats of
// files (canvas).
package plots
