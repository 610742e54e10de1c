package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
)

// rule is a constant on which verdicts depend, with the values tried in its
// place: half and double.
type rule struct {
	file, name, value string
	mutants           [2]string
}

func (r rule) String() string { return filepath.Base(filepath.Dir(r.file)) + "." + r.name }

// tests returns the packages whose tests have to detect a changed rule: the
// rule's own, or, for an internal package, the one that contains it with all its
// subpackages.
func (r rule) tests() string {
	if room, _, inside := strings.Cut(r.file, "/internal/"); inside {
		return "./" + room + "/..."
	}
	return "./" + filepath.ToSlash(filepath.Dir(r.file))
}

// declaration matches the declaration of the rule.
func (r rule) declaration() *regexp.Regexp {
	return regexp.MustCompile(`(?m)^(\s*(?:const )?` + r.name + `\s*=\s*)` + regexp.QuoteMeta(r.value) + `\b`)
}

// rules lists all rules. Of a ratio above 1 the excess over 1 is halved and
// doubled, of a confidence level its complement.
var rules = []rule{
	{"stats/trend/grade.go", "LeastShare", "1.25", [2]string{"1.125", "1.5"}},
	{"stats/outlier/evidence.go", "Level", "0.05", [2]string{"0.025", "0.10"}},
	{"stats/outlier/evidence.go", "anyLevel", "0.08", [2]string{"0.04", "0.16"}},
	{"stats/trend/grade.go", "FalseDiscoveryRate", "outlier.Level", [2]string{"outlier.Level / 2", "2 * outlier.Level"}},
	{"stats/trend/grade.go", "Confidence", "0.95", [2]string{"0.975", "0.90"}},
	{"stats/trend/grade.go", "LeastPoints", "8", [2]string{"4", "16"}},
	{"stats/trend/grade.go", "FewPoints", "20", [2]string{"10", "40"}},
	{"stats/trend/words.go", "SpanForTwice", "1.5", [2]string{"1.25", "2"}},
	{"stats/trend/gauge.go", "GaugeAgrees", "0.10", [2]string{"0.05", "0.20"}},
	{"stats/price/contents.go", "leastValues", "10", [2]string{"5", "20"}},
	{"stats/price/contents.go", "leastMembers", "3", [2]string{"2", "6"}},
	{"stats/hedonic/average.go", "shownClearly", "3.0", [2]string{"1.5", "6"}},
	{"stats/price/money.go", "leastYears", "1.0", [2]string{"0.5", "2"}},
	{"stats/price/verdict.go", "innerRange", "0.80", [2]string{"0.90", "0.60"}},
	{"stats/drift/judge.go", "falseRate", "trend.FalseDiscoveryRate", [2]string{"trend.FalseDiscoveryRate / 2", "2 * trend.FalseDiscoveryRate"}},
	{"stats/drift/judge.go", "makerShare", "0.9", [2]string{"0.95", "0.80"}},
	{"stats/drift/judge.go", "power", "0.80", [2]string{"0.90", "0.60"}},
	{"stats/drift/within.go", "minDF", "4", [2]string{"2", "8"}},
	{"stats/drift/within.go", "minSpan", "0.5", [2]string{"0.25", "1.0"}},
	{"stats/drift/within.go", "minForPart", "6", [2]string{"3", "12"}},
	{"stats/drift/within.go", "confidence", "trend.Confidence", [2]string{"1 - (1-trend.Confidence)/2", "1 - 2*(1-trend.Confidence)"}},
	{"stats/drift/fit.go", "gateP", "0.02", [2]string{"0.01", "0.04"}},
	{"stats/drift/singles.go", "minForSize", "8", [2]string{"4", "16"}},
	{"stats/drift/singles.go", "minSingles", "6", [2]string{"3", "12"}},
	{"stats/drift/step.go", "stepShare", "0.1", [2]string{"0.05", "0.2"}},
	{"stats/drift/step.go", "fewestAround", "3", [2]string{"2", "6"}},
	{"stats/market/market.go", "minMarket", "2", [2]string{"1", "4"}},
	{"stats/market/market.go", "minPerTerm", "5", [2]string{"3", "10"}},
	{"stats/drift/measures.go", "gaugeReference", "0.01", [2]string{"0.005", "0.02"}},
	{"stats/drift/measures.go", "pleatReference", "1", [2]string{"0.5", "2"}},
	{"stats/drift/measures.go", "shareReference", "0.02", [2]string{"0.01", "0.04"}},
	{"stats/drift/measures.go", "marketReference", "0.05", [2]string{"0.025", "0.10"}},
	{"stats/drift/finish.go", "watchChance", "falseRate", [2]string{"falseRate / 2", "2 * falseRate"}},
	{"stats/drift/example.go", "leastShown", "0.5", [2]string{"0.25", "1.0"}},
	{"stats/drift/example.go", "mostShown", "2.0", [2]string{"1.5", "4.0"}},
	{"stats/drift/codes.go", "leastOrigins", "2", [2]string{"1", "4"}},
	{"stats/drift/codes.go", "sameOrigin", "0.9", [2]string{"0.95", "0.80"}},
	{"stats/drift/dates.go", "mostCoded", "0.9", [2]string{"0.95", "0.80"}},
	{"stats/compare/parts.go", "confidence", "trend.Confidence", [2]string{"1 - (1-trend.Confidence)/2", "1 - 2*(1-trend.Confidence)"}},
	{"stats/compare/parts.go", "falseRate", "trend.FalseDiscoveryRate", [2]string{"trend.FalseDiscoveryRate / 2", "2 * trend.FalseDiscoveryRate"}},
	{"stats/compare/scatter.go", "fewestPairs", "panel.FewestPairs", [2]string{"panel.FewestPairs / 2", "2 * panel.FewestPairs"}},
	{"stats/compare/scatter.go", "fewestParts", "10", [2]string{"5", "20"}},
	{"stats/compare/subjects.go", "recent", "1.0", [2]string{"0.5", "2.0"}},
	{"stats/compare/decide.go", "slipFrom", "3.5", [2]string{"1.75", "7.0"}},
	{"stats/roundup/build.go", "confidence", "trend.Confidence", [2]string{"1 - (1-trend.Confidence)/2", "1 - 2*(1-trend.Confidence)"}},
	{"stats/roundup/build.go", "fewestResamples", "200", [2]string{"100", "400"}},
	{"stats/pool/compare.go", "FewestWithin", "5", [2]string{"3", "10"}},
	{"stats/roundup/makers.go", "clearMaker", "trend.FalseDiscoveryRate", [2]string{"trend.FalseDiscoveryRate / 2", "2 * trend.FalseDiscoveryRate"}},
	{"stats/roundup/reopened.go", "clearChange", "trend.FalseDiscoveryRate", [2]string{"trend.FalseDiscoveryRate / 2", "2 * trend.FalseDiscoveryRate"}},
	{"stats/roundup/reopened.go", "secondLook", "trend.ByChance", [2]string{"trend.ByChance / 2", "2 * trend.ByChance"}},
	{"stats/roundup/noise.go", "FewestPairs", "panel.FewestPairs", [2]string{"panel.FewestPairs / 2", "2 * panel.FewestPairs"}},
	{"stats/roundup/records.go", "fewestEarlier", "10", [2]string{"5", "20"}},
	{"stats/roundup/line.go", "fewestForLine", "12", [2]string{"6", "24"}},
	{"stats/pool/pool.go", "Fewest", "4", [2]string{"3", "8"}},
	{"stats/roundup/shift.go", "fewestTwice", "6", [2]string{"3", "12"}},
	{"stats/roundup/shift.go", "fewestEach", "4", [2]string{"2", "8"}},
	{"stats/roundup/shift.go", "sizeShare", "0.5", [2]string{"0.25", "1.0"}},
	{"stats/roundup/tables.go", "fewestRanked", "3", [2]string{"2", "6"}},
	{"stats/roundup/place_value.go", "maxDeviation", "3.5", [2]string{"1.75", "7.0"}},
	{"stats/roundup/gaps.go", "seldom", "0.5", [2]string{"0.25", "1.0"}},
	{"stats/roundup/next.go", "toOpen", "5", [2]string{"3", "10"}},
	{"stats/roundup/next.go", "nextAt", "1.5", [2]string{"0.75", "3.0"}},
	{"stats/roundup/next.go", "slopePrior", "0.02", [2]string{"0.01", "0.04"}},
	{"stats/roundup/news.go", "EnoughOpenings", "8", [2]string{"4", "16"}},
	{"stats/card/mount.go", "gasketTolerance", "1.0", [2]string{"0.5", "2.0"}},
	{"stats/card/places.go", "fewestOfThread", "5", [2]string{"3", "10"}},
	{"stats/check/readings.go", "ManyRepeats", "8", [2]string{"4", "16"}},
	{"stats/check/readings.go", "BeyondSpread", "6.0", [2]string{"3.0", "12.0"}},
	{"stats/check/readings.go", "LeastSpread", "0.03", [2]string{"0.015", "0.06"}},
	{"stats/check/readings.go", "WildSpread", "0.15", [2]string{"0.075", "0.30"}},
	{"stats/check/readings.go", "ImpossibleRatio", "2.0", [2]string{"1.5", "3.0"}},
	{"stats/changepoint/changepoint.go", "LeastMeasures", "3", [2]string{"2", "6"}},
	{"stats/changepoint/changepoint.go", "LeastGroups", "2", [2]string{"1", "4"}},
	{"stats/changepoint/changepoint.go", "LeastMoved", "0.075", [2]string{"0.0375", "0.15"}},
	{"stats/changepoint/changepoint.go", "MostMoved", "2.0", [2]string{"1.5", "3.0"}},
	{"stats/check/duplicates.go", "AgreeingReadings", "3", [2]string{"2", "6"}},
	{"stats/check/model.go", "enough", "8", [2]string{"4", "16"}},
	{"stats/check/masses.go", "MassHistory", "2", [2]string{"1", "4"}},
	{"stats/check/masses.go", "MassFollows", "0.5", [2]string{"0.25", "1.0"}},
	{"stats/check/masses.go", "MassVisible", "0.03", [2]string{"0.015", "0.06"}},
	{"stats/check/limits.go", "RoomWeighing", "0.03", [2]string{"0.015", "0.06"}},
	{"stats/check/limits.go", "RoomGeometry", "0.05", [2]string{"0.025", "0.10"}},
	{"stats/check/limits.go", "CanFactor", "2.0", [2]string{"1.5", "3.0"}},
	{"stats/check/limits.go", "LightestMedia", "20.0", [2]string{"10.0", "40.0"}},
	{"stats/check/limits.go", "HeaviestMedia", "800.0", [2]string{"400.0", "1600.0"}},
	{"stats/check/limits.go", "ThinnestMedia", "0.03", [2]string{"0.015", "0.06"}},
	{"stats/check/limits.go", "DensestMedia", "1.5", [2]string{"0.75", "3.0"}},
	{"stats/check/limits.go", "HeaviestBacked", "4000.0", [2]string{"2000.0", "8000.0"}},
	{"stats/check/limits.go", "DensestBacked", "4.0", [2]string{"2.0", "8.0"}},
	{"stats/check/limits.go", "FoldsTouch", "1.0", [2]string{"0.5", "2.0"}},
	{"stats/check/limits.go", "FoldsImpossible", "1.25", [2]string{"1.125", "1.5"}},
	{"stats/check/calibration.go", "CalibrationCans", "8", [2]string{"6", "16"}},
	{"stats/check/calibration.go", "CalibrationOff", "trend.GaugeAgrees", [2]string{"trend.GaugeAgrees / 2", "2 * trend.GaugeAgrees"}},
	{"stats/check/calibration.go", "calibrationConfidence", "trend.Confidence", [2]string{"1 - (1-trend.Confidence)/2", "1 - 2*(1-trend.Confidence)"}},
	{"stats/check/columns.go", "ColumnOff", "5.0", [2]string{"2.5", "10.0"}},
	{"stats/check/columns.go", "ColumnFits", "2.0", [2]string{"1.0", "4.0"}},
	{"stats/dates/dates.go", "StrayShare", "0.02", [2]string{"0.01", "0.04"}},
	{"stats/dates/dates.go", "StrayYears", "0.25", [2]string{"0.125", "0.5"}},
	{"stats/dates/dates.go", "fewestDates", "8", [2]string{"4", "16"}},
	{"stats/dates/dates.go", "longGap", "30", [2]string{"15", "60"}},
	{"stats/dates/dates.go", "longBeforeShare", "0.1", [2]string{"0.05", "0.2"}},
	{"stats/check/candidates.go", "leastGain", "4", [2]string{"2", "8"}},
	{"stats/check/candidates.go", "clearGain", "25", [2]string{"12.5", "50"}},
	{"stats/check/candidates.go", "rivalGain", "12", [2]string{"6", "24"}},
	{"stats/check/candidates.go", "undecidedGain", "4", [2]string{"2", "8"}},
	{"dataset/internal/cells/step.go", "minForStep", "5", [2]string{"3", "10"}},
	{"dataset/internal/cells/step.go", "stepShare", "0.95", [2]string{"0.975", "0.90"}},
	{"dataset/internal/cells/column.go", "usualShare", "0.95", [2]string{"0.975", "0.90"}},
	{"dataset/internal/reader/reader.go", "textShare", "0.9", [2]string{"0.95", "0.80"}},
	{"dataset/internal/reader/style.go", "dominance", "10", [2]string{"5", "20"}},
	{"dataset/internal/spelling/slips.go", "minSlipLength", "5", [2]string{"3", "10"}},
	{"dataset/internal/spelling/slips.go", "slipRatio", "10", [2]string{"5", "20"}},
	{"dataset/internal/datecode/datecode.go", "leastCodes", "3", [2]string{"2", "6"}},
	{"dataset/internal/datecode/datecode.go", "readCodes", "0.9", [2]string{"0.95", "0.80"}},
	{"dataset/internal/datecode/datecode.go", "rivalCodes", "0.5", [2]string{"0.25", "1.0"}},
	{"dataset/internal/datecode/datecode.go", "monthCodes", "8", [2]string{"4", "16"}},
	{"dataset/internal/datecode/datecode.go", "shelfYears", "10.0", [2]string{"5.0", "20.0"}},
	{"dataset/internal/datecode/datecode.go", "MadeGrace", "14 / 365.25", [2]string{"7 / 365.25", "28 / 365.25"}},
	{"dataset/internal/cellparse/rough.go", "maxReadingRatio", "1.5", [2]string{"1.25", "2"}},
}

// failedTest matches the name of a failed test.
var failedTest = regexp.MustCompile(`(?m)^\s*--- FAIL: (\S+)`)

// runMutate halves and doubles each rule, one at a time, in a copy of the module
// and runs the tests of its package. It returns an error if no test fails for a
// changed rule, as such a rule is not tested.
func runMutate(args []string, stdout io.Writer) error {
	flags := flag.NewFlagSet("mutate", flag.ContinueOnError)
	flags.SetOutput(stdout)
	root := flags.String("root", ".", "the module's folder")
	only := flags.String("only", "", "the rules whose package and name begin so, as drift.min")
	if err := flags.Parse(args); err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "mutants")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	if err := copyModule(dir, *root); err != nil {
		return err
	}
	fmt.Fprintln(stdout, "Each rule halved and doubled, one at a time, and the tests of its package run (go run ./cmd/calibrate mutate). A share above one is halved and doubled by what is above one, a confidence by what it leaves out.")
	fmt.Fprintln(stdout)
	fmt.Fprintln(stdout, "| rule | is | mutant | killed by |")
	fmt.Fprintln(stdout, "| --- | --- | --- | --- |")
	var alive []error
	sound := map[string]bool{} // packages whose rule tests pass unchanged
	for _, r := range rules {
		if !strings.HasPrefix(r.String(), *only) {
			continue
		}
		if !sound[r.tests()] {
			if out, err := runTests(dir, ruleTests, r.tests()); err != nil {
				return fmt.Errorf("%s: the tests fail without a mutant: %s", r.tests(), out)
			}
			sound[r.tests()] = true
		}
		for _, mutant := range r.mutants {
			killer, err := tryMutant(dir, r, mutant)
			if err != nil {
				return err
			}
			if killer == "" {
				killer = "**not killed**"
				alive = append(alive, fmt.Errorf("%s = %s: no test fails", r.name, mutant))
			}
			fmt.Fprintf(stdout, "| %s | %s | %s | %s |\n", r, r.value, mutant, killer)
		}
	}
	if len(sound) == 0 {
		return fmt.Errorf("no rule is called %q", *only)
	}
	return errors.Join(alive...)
}

// ruleTests matches the tests named after rules.
const ruleTests = "Rule|Threshold|BothSides"

func runTests(dir, named, packages string) ([]byte, error) {
	test := exec.Command("go", "test", "-count=1", "-failfast", "-run", named, packages)
	test.Dir = dir
	return test.CombinedOutput()
}

// tryMutant runs the tests with one rule changed and returns the first that
// failed, "" if none did. Tests named after rules run first, as their failures
// say what the rule is for.
func tryMutant(dir string, r rule, mutant string) (killer string, err error) {
	path := filepath.Join(dir, r.file)
	source, err := os.ReadFile(path)
	if err != nil {
		return "", err
	}
	is := r.declaration()
	if n := len(is.FindAll(source, -1)); n != 1 {
		return "", fmt.Errorf("%s: %s = %s stands there %d times, want once", r.file, r.name, r.value, n)
	}
	if err := os.WriteFile(path, is.ReplaceAll(source, []byte("${1}"+mutant)), 0o666); err != nil {
		return "", err
	}
	var out []byte
	var failed error
	for _, named := range []string{ruleTests, "."} {
		if out, failed = runTests(dir, named, r.tests()); failed != nil {
			break
		}
	}
	if err := os.WriteFile(path, source, 0o666); err != nil {
		return "", err
	}
	if failed == nil {
		return "", nil
	}
	name := failedTest.FindSubmatch(out)
	if name == nil {
		return "", fmt.Errorf("%s = %s: the tests do not run: %s", r.name, mutant, out)
	}
	return string(name[1]), nil
}

// copyModule copies the sources and the test data of the module.
func copyModule(to, from string) error {
	var errs []error
	for _, folder := range []string{"cmd", "dataset", "plots", "stats", "testdata"} {
		errs = append(errs, os.CopyFS(filepath.Join(to, folder), os.DirFS(filepath.Join(from, folder))))
	}
	for _, file := range []string{"go.mod", "go.sum"} {
		data, err := os.ReadFile(filepath.Join(from, file))
		errs = append(errs, err, os.WriteFile(filepath.Join(to, file), data, 0o666))
	}
	return errors.Join(errs...)
}
