// Package plots draws the results of the analyses: trends, changes by maker,
// price verdicts, the contributions to a price, parts side by side and the
// tables of a yearly roundup.
//
// A chart function takes result structs and returns a *Chart, which does not
// depend on size or file format; Render draws it in memory as PNG, SVG or PDF.
// The package writes no files, fits nothing that the results do not already
// hold, and shares no state between charts: the same chart with the same
// options gives the same bytes.
//
// The title of every chart states its finding, products that stand out are
// named beside their marks, kinds of marks differ in shape as well as in
// colour, and the corner gives the amount of data behind the chart.
//
// Subpackages: page (the page a chart is drawn on), panels (the panels of a
// drift chart), labels (placing names beside marks), words (the wording) and
// canvas (the file formats).
package plots
