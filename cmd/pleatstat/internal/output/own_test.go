package output

import (
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var driftCharts = regexp.MustCompile(`^drift-[a-z_]+\.png$`)

// driftRun commits one batch: own files of the folder, and files that the user named.
func driftRun(t *testing.T, dir string, own, named map[string]string, inputs ...os.FileInfo) {
	t.Helper()
	b := NewBatch("drift", inputs...)
	b.Folder(dir, driftCharts)
	for name, text := range own {
		if err := b.AddOwn(File{name, []byte(text)}); err != nil {
			t.Fatal(err)
		}
	}
	for name, text := range named {
		if err := b.Add(filepath.Join(dir, name), []byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	if err := b.Commit(context.Background()); err != nil {
		t.Fatal(err)
	}
}

// Files that the user named in an earlier call stay, whatever their names.
func TestFilesThatTheUserNamedAreNeverRemoved(t *testing.T) {
	dir := t.TempDir()
	driftRun(t, dir, map[string]string{"drift-pleats.png": "p", "drift-can_gauge.png": "g"},
		map[string]string{"table.csv": "t", "drift-price.png": "for the talk"})
	driftRun(t, dir, map[string]string{"drift-pleats.png": "p"}, nil)
	got := content(t, dir)
	if got["table.csv"] != "t" || got["drift-price.png"] != "for the talk" {
		t.Errorf("a file that the user named was removed: %q", got)
	}
	if _, there := got["drift-can_gauge.png"]; there {
		t.Error("the command's own chart, no longer part of the run, is still there")
	}
}

// meddle rewrites the list of a folder so that it names a file as drift's own.
func meddle(t *testing.T, dir, name string) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, name))
	if err != nil {
		t.Fatal(err)
	}
	m := manifest{}.with("drift", dir, []file{{path: filepath.Join(dir, name), data: data, own: true}})
	write(t, filepath.Join(dir, ManifestName), string(m.bytes()))
}

// A list is not trusted if it names the log, or any file whose name the command would
// not give.
func TestTheListIsNotBelieved(t *testing.T) {
	for _, name := range []string{"log.csv", "drift-log.png"} {
		dir := t.TempDir()
		path := filepath.Join(dir, name)
		write(t, path, "maker,part\n")
		info, err := os.Stat(path)
		if err != nil {
			t.Fatal(err)
		}
		meddle(t, dir, name)
		var inputs []os.FileInfo
		if driftCharts.MatchString(name) { // then only its being an input protects it
			inputs = append(inputs, info)
		}
		driftRun(t, dir, map[string]string{"drift-pleats.png": "p"}, nil, inputs...)
		if got := content(t, dir)[name]; got != "maker,part\n" {
			t.Errorf("%s holds %q", name, got)
		}
	}
}

func TestOwnNamesFollowTheScheme(t *testing.T) {
	b := NewBatch("drift")
	b.Folder(t.TempDir(), driftCharts)
	if err := b.AddOwn(File{Name: "table.csv"}); err == nil || !strings.Contains(err.Error(), "table.csv") {
		t.Errorf("got error %v", err)
	}
}
