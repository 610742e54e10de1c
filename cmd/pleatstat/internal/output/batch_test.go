package output

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var anyName = regexp.MustCompile(`.`)

// put commits one batch of files into dir.
func put(t *testing.T, dir string, files map[string]string, inputs ...os.FileInfo) error {
	t.Helper()
	b := NewBatch("report", inputs...)
	b.Folder(dir, anyName)
	for name, text := range files {
		if err := b.AddOwn(File{name, []byte(text)}); err != nil {
			t.Fatal(err)
		}
	}
	return b.Commit(context.Background())
}

// content lists a folder with what its files hold.
func content(t *testing.T, dir string) map[string]string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	for _, e := range entries {
		if e.IsDir() {
			all[e.Name()] = "a folder"
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		all[e.Name()] = string(data)
	}
	return all
}

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

func TestCommitWritesReplacesAndRemovesItsOwn(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "a", "b")
	if err := put(t, dir, map[string]string{"findings.txt": "one", "old.png": "chart"}); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, "mine.txt"), "mine")
	if err := put(t, dir, map[string]string{"findings.txt": "two"}); err != nil {
		t.Fatal(err)
	}
	got := content(t, dir)
	if got["findings.txt"] != "two" || got["mine.txt"] != "mine" {
		t.Errorf("folder holds %q", got)
	}
	if _, there := got["old.png"]; there {
		t.Error("a chart of the earlier run, no longer part of it, is still there")
	}
	if len(got) != 3 { // findings.txt, mine.txt, the list
		t.Errorf("folder holds %d files: %q", len(got), got)
	}
}

func TestAnotherCommandsFilesStay(t *testing.T) {
	dir := t.TempDir()
	if err := put(t, dir, map[string]string{"findings.txt": "one"}); err != nil {
		t.Fatal(err)
	}
	b := NewBatch("drift")
	b.Folder(dir, anyName)
	if err := b.AddOwn(File{"drift.png", []byte("d")}); err != nil {
		t.Fatal(err)
	}
	if err := b.Commit(context.Background()); err != nil {
		t.Fatal(err)
	}
	if got := content(t, dir); got["findings.txt"] != "one" || got["drift.png"] != "d" {
		t.Errorf("folder holds %q", got)
	}
	if err := put(t, dir, map[string]string{"findings.txt": "two"}); err != nil {
		t.Errorf("the report may no longer replace its own file: %v", err)
	}
}

func TestForeignFilesAreNeverOverwritten(t *testing.T) {
	for name, prepare := range map[string]func(t *testing.T, dir string){
		"never written by the tool": func(t *testing.T, dir string) {
			write(t, filepath.Join(dir, "findings.txt"), "mine")
		},
		"written, then edited": func(t *testing.T, dir string) {
			if err := put(t, dir, map[string]string{"findings.txt": "one"}); err != nil {
				t.Fatal(err)
			}
			write(t, filepath.Join(dir, "findings.txt"), "mine")
		},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			prepare(t, dir)
			before := content(t, dir)
			err := put(t, dir, map[string]string{"findings.txt": "two", "new.png": "chart"})
			if err == nil || !strings.Contains(err.Error(), "findings.txt") {
				t.Fatalf("got error %v, want one naming the file", err)
			}
			after := content(t, dir)
			if after["findings.txt"] != "mine" || len(after) != len(before) {
				t.Errorf("folder was %q, is %q", before, after)
			}
		})
	}
}

func TestEditedFilesAreNotRemovedAsStale(t *testing.T) {
	dir := t.TempDir()
	if err := put(t, dir, map[string]string{"a.txt": "a", "chart.svg": "<svg/>"}); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, "chart.svg"), "<svg>edited</svg>")
	if err := put(t, dir, map[string]string{"a.txt": "b"}); err != nil {
		t.Fatal(err)
	}
	if got := content(t, dir)["chart.svg"]; got != "<svg>edited</svg>" {
		t.Errorf("the edited chart holds %q", got)
	}
}

func TestTheInputIsNeverAnOutput(t *testing.T) {
	dir := t.TempDir()
	log := filepath.Join(dir, "log.csv")
	write(t, log, "maker,part\n")
	info, err := os.Stat(log)
	if err != nil {
		t.Fatal(err)
	}
	hard, soft := filepath.Join(dir, "hard.csv"), filepath.Join(dir, "soft.csv")
	if err := os.Link(log, hard); err != nil {
		t.Skip("no hard links here:", err)
	}
	if err := os.Symlink(log, soft); err != nil {
		t.Skip("no symbolic links here:", err)
	}
	for _, path := range []string{log, hard, soft, filepath.Join(dir, ".", "log.csv")} {
		b := NewBatch("check", info)
		if err := b.Allow(path); err == nil || !strings.Contains(err.Error(), "is the log itself") {
			t.Errorf("%s: got error %v", path, err)
		}
		if err := b.Add(path, []byte("x")); err != nil {
			t.Fatal(err)
		}
		if err := b.Commit(context.Background()); err == nil {
			t.Errorf("%s was written", path)
		}
	}
	if data, _ := os.ReadFile(log); string(data) != "maker,part\n" {
		t.Errorf("the log holds %q", data)
	}
}

func TestOddTargetsAreRefused(t *testing.T) {
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "folder"), 0o777); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, "file"), "x")
	if err := os.Symlink("nowhere", filepath.Join(dir, "dangling")); err != nil {
		t.Skip("no symbolic links here:", err)
	}
	for _, path := range []string{filepath.Join(dir, "folder"), filepath.Join(dir, "dangling"), filepath.Join(dir, "file", "below"), os.DevNull} {
		b := NewBatch("check")
		if err := b.Add(path, []byte("x")); err != nil {
			t.Fatal(err)
		}
		if err := b.Commit(context.Background()); err == nil {
			t.Errorf("%s was accepted", path)
		}
	}
}

func TestTwoOutputsOneFile(t *testing.T) {
	b := NewBatch("trend")
	if err := b.Add("a/b.csv", nil); err != nil {
		t.Fatal(err)
	}
	if err := b.Add("a/./b.csv", nil); err == nil {
		t.Error("the same file was taken twice")
	}
}

// fullDisk writes half of what it gets, then fails.
type fullDisk struct{ io.WriteCloser }

var errFull = errors.New("no space left on device")

func (f fullDisk) Write(p []byte) (int, error) {
	n, _ := f.WriteCloser.Write(p[:len(p)/2])
	return n, errFull
}

func TestAFailingWriteLeavesNothing(t *testing.T) {
	root := t.TempDir()
	for _, dir := range []string{filepath.Join(root, "new", "deep"), root} {
		before := content(t, root)
		b := NewBatch("report")
		b.Folder(dir, anyName)
		calls := 0
		b.create = func(path string) (io.WriteCloser, error) {
			w, err := createNew(path)
			if calls++; calls == 2 && err == nil {
				return fullDisk{w}, nil
			}
			return w, err
		}
		for _, name := range []string{"one", "two", "three"} {
			if err := b.AddOwn(File{name, []byte("text")}); err != nil {
				t.Fatal(err)
			}
		}
		if err := b.Commit(context.Background()); !errors.Is(err, errFull) {
			t.Fatalf("got error %v", err)
		}
		if after := content(t, root); len(after) != len(before) {
			t.Errorf("left behind: %q", after)
		}
	}
}

func TestACancelledCommitLeavesNothing(t *testing.T) {
	root := t.TempDir()
	ctx, cancel := context.WithCancel(context.Background())
	b := NewBatch("report")
	b.create = func(path string) (io.WriteCloser, error) {
		cancel() // as if Ctrl-C came while the first file is written
		return createNew(path)
	}
	for _, name := range []string{"one", "two"} {
		if err := b.Add(filepath.Join(root, "out", name), []byte("text")); err != nil {
			t.Fatal(err)
		}
	}
	if err := b.Commit(ctx); !errors.Is(err, context.Canceled) {
		t.Fatalf("got error %v", err)
	}
	if left := content(t, root); len(left) != 0 {
		t.Errorf("left behind: %q", left)
	}
}

func TestAnUnreadableListIsNotOverwritten(t *testing.T) {
	dir := t.TempDir()
	write(t, filepath.Join(dir, ManifestName), "shopping: milk\n")
	err := put(t, dir, map[string]string{"a": "b"})
	if err == nil || !strings.Contains(err.Error(), ManifestName) {
		t.Fatalf("got error %v", err)
	}
	if got := content(t, dir); len(got) != 1 || got[ManifestName] != "shopping: milk\n" {
		t.Errorf("folder holds %q", got)
	}
}

func TestAListCannotReachOutsideItsFolder(t *testing.T) {
	root := t.TempDir()
	dir := filepath.Join(root, "out")
	if err := put(t, root, map[string]string{"victim": "x"}); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(dir, 0o777); err != nil {
		t.Fatal(err)
	}
	list, err := os.ReadFile(filepath.Join(root, ManifestName))
	if err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, ManifestName), strings.ReplaceAll(string(list), `"victim"`, `"../victim"`))
	if err := put(t, dir, map[string]string{"a": "b"}); err != nil {
		t.Fatal(err)
	}
	if content(t, root)["victim"] != "x" {
		t.Error("a file outside the folder was removed")
	}
}
