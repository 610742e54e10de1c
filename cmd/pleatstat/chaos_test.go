//go:build linux

package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"
)

// The chaos test runs the program on damaged logs, and in folders that were changed
// between two runs. PLEATSTAT_CHAOS sets for how long (2m) or how many cases (10000),
// PLEATSTAT_CHAOS_SEED the first seed. A failure names its seed:
// PLEATSTAT_CHAOS=1 PLEATSTAT_CHAOS_SEED=417 runs that case alone.
const (
	chaosVariable     = "PLEATSTAT_CHAOS"
	chaosSeedVariable = "PLEATSTAT_CHAOS_SEED"
)

// Limits for a run on any log of the sizes used here: processor time, since the machine
// may be busy with other work, and memory. A run that has not ended after chaosWait
// hangs.
const (
	chaosTime   = 10 * time.Second
	chaosWait   = 3 * time.Minute
	chaosMemory = 1 << 30 // bytes
)

func TestChaos(t *testing.T) {
	ask := os.Getenv(chaosVariable)
	if ask == "" {
		t.Skip("runs for long: " + chaosVariable + "=2m")
	}
	cases, atMost := uint64(1<<62), time.Duration(1<<62)
	if n, err := strconv.ParseUint(ask, 10, 64); err == nil {
		cases = n
	} else if atMost, err = time.ParseDuration(ask); err != nil {
		t.Fatalf("%s=%q: want a number of cases or a time such as 2m", chaosVariable, ask)
	}
	first, _ := strconv.ParseUint(os.Getenv(chaosSeedVariable), 10, 64) // "" = 0

	binary := filepath.Join(t.TempDir(), "pleatstat")
	if out, err := exec.Command("go", "build", "-o", binary, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	bases := chaosBases(t)
	began := time.Now()
	var next atomic.Uint64
	var lock sync.Mutex
	tally := map[string]int{}
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			for {
				n := next.Add(1) - 1
				if n >= cases || time.Since(began) > atMost {
					return
				}
				c := &chaosCase{seed: first + n, rng: rand.New(rand.NewPCG(first+n, 1)), binary: binary, dir: t.TempDir()}
				c.run(bases)
				lock.Lock()
				for _, key := range c.tally {
					tally[key]++
				}
				tally["cases"]++
				for _, fault := range c.faults {
					t.Errorf("seed %d, %s: %s", c.seed, c.what, fault)
				}
				lock.Unlock()
				os.RemoveAll(c.dir)
			}
		})
	}
	workers.Wait()
	for _, key := range slices.Sorted(maps.Keys(tally)) {
		t.Logf("%6d %s", tally[key], key)
	}
}

// chaosCase is one damaged log, one command run on it, and the result.
type chaosCase struct {
	seed   uint64
	rng    *rand.Rand
	binary string
	dir    string
	what   string
	tally  []string
	faults []string
}

func (c *chaosCase) fault(format string, args ...any) {
	c.faults = append(c.faults, fmt.Sprintf(format, args...))
}

// ran is the result of one run of the program.
type ran struct {
	code           int
	stdout, stderr string
}

// chaosCommands lists the commands to run, with LOG and OUT to be replaced; one listed
// more often runs more often.
var chaosCommands = []string{
	"check LOG --json", "check LOG --json", "check LOG --json", "check LOG --json", "check LOG --json", "check LOG --json",
	"check LOG --csv OUT/slips.csv --fixed OUT/better.csv",
	"report LOG --no-plots --out OUT", "report LOG --no-plots --out OUT", "report LOG --no-plots --out OUT",
	"report LOG --out OUT --format svg --size 480x270",
	"report LOG --out OUT --size 480x270 --json",
	"drift LOG --out OUT --csv OUT/table.csv --plot OUT/drift-mine.svg --format svg --size 480x270",
	"roundup LOG --out OUT --no-plots --html", "roundup LOG --out OUT --format svg --size 480x270",
	"price LOG --json", "trend LOG --of price --on media_area --json",
}

func (c *chaosCase) run(bases []chaosBase) {
	base := bases[c.rng.IntN(len(bases))]
	d := damage(c.rng, base)
	command := chaosCommands[c.rng.IntN(len(chaosCommands))]
	c.what = fmt.Sprintf("%s: %s; %s", base.name, d.what, command)
	log := "log" + base.ext
	c.put(log, d.data)
	c.tally = append(c.tally, "damage: "+d.kind)

	one, two := c.start(command, log, "out1"), c.start(command, log, "out2")
	c.tally = append(c.tally, fmt.Sprintf("exit %d: %s", one.code, strings.Fields(command)[0]))
	if again := strings.ReplaceAll(two.stdout, "out2", "out1"); one.code != two.code || again != one.stdout || strings.ReplaceAll(two.stderr, "out2", "out1") != one.stderr {
		c.fault("a second run says something else: exit %d and %d, %q and %q", one.code, two.code, difference(one.stdout+one.stderr, again+two.stderr), difference(again+two.stderr, one.stdout+one.stderr))
	}
	first, second := c.tree("out1"), c.tree("out2")
	for _, name := range slices.Sorted(maps.Keys(first)) {
		if second[strings.Replace(name, "out1", "out2", 1)] != first[name] || len(first) != len(second) {
			c.fault("a second run writes %d files, the first %d; another is %s", len(second), len(first), name)
			break
		}
	}
	if strings.HasPrefix(command, "check LOG --json") {
		c.checked(one, d, base)
	}
	if len(first) > 0 {
		c.again(command, log, first)
	}
	if data, err := os.ReadFile(filepath.Join(c.dir, log)); err != nil || !bytes.Equal(data, d.data) {
		c.fault("the log was changed or removed")
	}
}

// checked compares what check --json reports with the log.
func (c *chaosCase) checked(r ran, d damaged, base chaosBase) {
	if r.code != exitDone && r.code != exitLogErrors {
		return
	}
	var doc struct {
		Log      struct{ Rows int }
		Problems []struct{ Name, Message, Severity string }
	}
	if err := json.Unmarshal([]byte(r.stdout), &doc); err != nil {
		c.fault("no JSON: %v", err)
		return
	}
	errs, leftOut := 0, 0
	for _, p := range doc.Problems {
		if p.Severity != "note" {
			errs++
		}
		if p.Name == "" && (p.Severity == "unusable" || strings.Contains(p.Message, "the line is left out")) {
			leftOut++
		}
	}
	if (errs > 0) != (r.code == exitLogErrors) {
		c.fault("exit %d with %d errors told", r.code, errs)
	}
	if d.rows > 0 && doc.Log.Rows+leftOut != d.rows {
		c.fault("%d rows, of which %d were read and %d reported as left out", d.rows, doc.Log.Rows, leftOut)
	}
	if d.same && doc.Log.Rows != base.rows {
		c.fault("a damaged workbook of %d rows is read as one of %d", base.rows, doc.Log.Rows)
	}
}

// start runs the command and checks how it ended.
func (c *chaosCase) start(command, log, out string) ran {
	args := strings.Fields(strings.NewReplacer("LOG", log, "OUT", out).Replace(command))
	limited := fmt.Sprintf(`ulimit -t %.0f; exec "$0" "$@"`, chaosTime.Seconds())
	cmd := exec.Command("sh", append([]string{"-c", limited, c.binary}, args...)...)
	temp := filepath.Join(c.dir, "tmp")
	if err := os.MkdirAll(temp, 0o777); err != nil {
		panic(err)
	}
	cmd.Dir, cmd.Env = c.dir, []string{"TMPDIR=" + temp, "HOME=" + temp}
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	began := time.Now()
	if err := cmd.Start(); err != nil {
		panic(err)
	}
	kill := time.AfterFunc(chaosWait, func() { cmd.Process.Kill() })
	err := cmd.Wait()
	kill.Stop()
	r := ran{cmd.ProcessState.ExitCode(), stdout.String(), stderr.String()}
	var exit *exec.ExitError
	switch used := cmd.ProcessState.SysUsage().(*syscall.Rusage).Maxrss * 1024; {
	case err != nil && !errors.As(err, &exit):
		panic(err)
	case time.Since(began) >= chaosWait:
		c.fault("killed after %v", chaosWait)
		return r
	case cmd.ProcessState.UserTime()+cmd.ProcessState.SystemTime() > chaosTime*9/10: // the limit counts whole seconds
		c.fault("ended after %v of processor time", chaosTime)
		return r
	case used > chaosMemory:
		c.fault("took %d MB", used>>20)
	}
	switch {
	case strings.Contains(r.stderr, "panic:") || strings.Contains(r.stderr, "goroutine "):
		c.fault("panic: %.400s", r.stderr)
	case r.code < exitDone || r.code > exitLogErrors:
		c.fault("exit %d: %.400s", r.code, r.stderr)
	case r.code != exitDone && r.stderr == "",
		r.code == exitDone && r.stderr != "" && !slices.Contains(args, "--json"): // with --json the notices go there
		c.fault("exit %d and on standard error %q", r.code, r.stderr)
	case (r.code == exitFailed || r.code == exitUsage) && r.stdout != "":
		c.fault("exit %d and on standard output %.200q", r.code, r.stdout)
	case r.code == exitUsage:
		c.fault("told to be wrongly called: %s", r.stderr)
	}
	if left, _ := os.ReadDir(temp); len(left) > 0 {
		c.fault("left %s in the folder of temporary files", left[0].Name())
	}
	for name := range c.tree(out) {
		if strings.HasSuffix(name, ".tmp") && !strings.HasSuffix(name, foreignTemporary) && !leftover(name) {
			c.fault("left %s", name)
		}
	}
	return r
}

func (c *chaosCase) put(name string, data []byte) {
	if err := os.WriteFile(filepath.Join(c.dir, name), data, 0o666); err != nil {
		panic(err)
	}
}

// tree returns what the files below a folder of the case hold, by name; links by their
// target.
func (c *chaosCase) tree(folder string) map[string]string {
	all := map[string]string{}
	filepath.WalkDir(filepath.Join(c.dir, folder), func(path string, e os.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return nil
		}
		name, _ := filepath.Rel(c.dir, path)
		if e.Type()&os.ModeSymlink != 0 {
			target, _ := os.Readlink(path)
			all[name] = "-> " + target
			return nil
		}
		data, err := os.ReadFile(path)
		all[name] = string(data)
		return err
	})
	return all
}

// difference returns the text of a around the place where it begins to differ from b.
func difference(a, b string) string {
	i := 0
	for i < min(len(a), len(b)) && a[i] == b[i] {
		i++
	}
	return a[max(0, i-20):min(len(a), i+60)]
}
