package output

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"
)

// commitOne writes one file as the named command.
func commitOne(ctx context.Context, command, path, text string) error {
	b := NewBatch(command)
	if err := b.Add(path, []byte(text)); err != nil {
		return err
	}
	return b.Commit(ctx)
}

// After simultaneous runs into one folder the list names the files of all of them, so
// that each can be written again.
func TestTheListKeepsTheFilesOfRunsAtOnce(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new")
	const runs = 12
	for round := range 3 {
		var group sync.WaitGroup
		errs := make([]error, runs)
		for i := range runs {
			group.Go(func() {
				errs[i] = commitOne(context.Background(), fmt.Sprint("run", i), filepath.Join(dir, fmt.Sprint(i, ".txt")), fmt.Sprint("round ", round))
			})
		}
		group.Wait()
		for i, err := range errs {
			if err != nil {
				t.Errorf("round %d, run %d: %v", round, i, err)
			}
		}
	}
	if got := content(t, dir); len(got) != runs+1 {
		t.Errorf("the folder holds %q", got)
	}
}

// A file that appears while the outputs are written is not overwritten, nor is an
// earlier output that was edited meanwhile.
func TestAFileThatAppearsInBetweenStays(t *testing.T) {
	for _, before := range []string{"", "written by the tool"} {
		dir := t.TempDir()
		path := filepath.Join(dir, "findings.txt")
		if before != "" {
			if err := commitOne(context.Background(), "report", path, before); err != nil {
				t.Fatal(err)
			}
		}
		b := NewBatch("report")
		b.create = func(temp string) (io.WriteCloser, error) {
			write(t, path, "mine") // the user saves it just now
			return createNew(temp)
		}
		if err := b.Add(path, []byte("findings")); err != nil {
			t.Fatal(err)
		}
		if err := b.Commit(context.Background()); err == nil || !strings.Contains(err.Error(), "findings.txt") {
			t.Errorf("got error %v", err)
		}
		if got := content(t, dir); got["findings.txt"] != "mine" {
			t.Errorf("the folder holds %q", got)
		}
	}
}

// A file may appear between the last check and the move: the move itself must refuse.
func TestMoveNeverReplacesWhatAppeared(t *testing.T) {
	dir := t.TempDir()
	for i := range 200 {
		temp, path := filepath.Join(dir, temporaryName()), filepath.Join(dir, fmt.Sprint(i))
		write(t, temp, "ours")
		appeared := make(chan bool)
		go func() {
			f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
			if err == nil {
				io.WriteString(f, "mine")
				f.Close()
			}
			appeared <- err == nil
		}()
		err := moveNew(temp, path)
		if <-appeared && err == nil {
			t.Fatal("a file that had appeared was replaced")
		}
	}
}

func TestPermissionsOfAReplacedFileAreKept(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no such permissions here")
	}
	path := filepath.Join(t.TempDir(), "findings.txt")
	for _, mode := range []fs.FileMode{0o600, 0o640, 0o664} {
		if err := commitOne(context.Background(), "report", path, "one"); err != nil {
			t.Fatal(err)
		}
		if err := os.Chmod(path, mode); err != nil {
			t.Fatal(err)
		}
		if err := commitOne(context.Background(), "report", path, "two"); err != nil {
			t.Fatal(err)
		}
		if info, err := os.Stat(path); err != nil || info.Mode().Perm() != mode {
			t.Errorf("%v: the new file has %v, %v", mode, info.Mode(), err)
		}
	}
}

// helperFolder is the variable that is set if the test binary is the run to be killed.
const helperFolder = "OUTPUT_TEST_FOLDER"

// TestKilledRun is the run that TestLeftoversOfAKilledRunAreRemoved kills.
func TestKilledRun(t *testing.T) {
	dir := os.Getenv(helperFolder)
	if dir == "" {
		t.Skip("runs as a process of its own")
	}
	b := NewBatch("report")
	b.create = func(path string) (io.WriteCloser, error) {
		f, err := createNew(path)
		if err == nil && strings.HasSuffix(path, ".tmp") && len(must(os.ReadDir(dir))) > 2 {
			fmt.Println("writing")
			time.Sleep(time.Minute)
		}
		return f, err
	}
	for _, name := range []string{"a", "b"} {
		if err := b.Add(filepath.Join(dir, name), []byte("text")); err != nil {
			t.Fatal(err)
		}
	}
	t.Fatal(b.Commit(context.Background()))
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// The next run into a folder removes what a killed run left, and waits for one that is
// still running.
func TestLeftoversOfAKilledRunAreRemoved(t *testing.T) {
	dir := t.TempDir()
	mine := ".pleatstat-notes.tmp"
	write(t, filepath.Join(dir, mine), "mine")
	killed := exec.Command(os.Args[0], "-test.run=^TestKilledRun$")
	killed.Env = append(os.Environ(), helperFolder+"="+dir)
	out := must(killed.StdoutPipe())
	if err := killed.Start(); err != nil {
		t.Fatal(err)
	}
	defer killed.Process.Kill()
	if _, err := io.ReadFull(out, make([]byte, len("writing"))); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(context.Background(), 200*time.Millisecond)
	defer cancel()
	before := len(content(t, dir))
	if err := commitOne(ctx, "report", filepath.Join(dir, "c"), "text"); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("beside a run that writes: error %v", err)
	}
	if before != 3 || len(content(t, dir)) != before {
		t.Errorf("the folder held %d files, then %q", before, content(t, dir))
	}
	if err := killed.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	killed.Wait()
	if err := commitOne(context.Background(), "report", filepath.Join(dir, "c"), "text"); err != nil {
		t.Fatal(err)
	}
	if got := content(t, dir); len(got) != 3 || got["c"] != "text" || got[mine] != "mine" {
		t.Errorf("the folder holds %q", got)
	}
}

// One folder under two names is one folder: one lock, one list.
func TestAFolderByTwoNames(t *testing.T) {
	root := t.TempDir()
	dir, link := filepath.Join(root, "dir"), filepath.Join(root, "link")
	if err := os.Mkdir(dir, 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(dir, link); err != nil {
		t.Skip("no symbolic links here:", err)
	}
	write2 := func(a, b string) error {
		batch := NewBatch("check")
		return errors.Join(batch.Add(a, []byte("1")), batch.Add(b, []byte("2")), batch.Commit(context.Background()))
	}
	for range 2 { // the second time over files that the list must know
		if err := write2(filepath.Join(dir, "a.csv"), filepath.Join(link, "b.csv")); err != nil {
			t.Fatal(err)
		}
	}
	if got := content(t, dir); len(got) != 3 || got["a.csv"] != "1" || got["b.csv"] != "2" {
		t.Errorf("the folder holds %q", got)
	}
	if err := write2(filepath.Join(dir, "x.csv"), filepath.Join(link, "x.csv")); err == nil || !strings.Contains(err.Error(), "same file") {
		t.Errorf("one file by two names: error %v", err)
	}
}
