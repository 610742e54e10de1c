// Package output writes files whole or not at all, and never over a file that
// the tool did not write itself.
//
// In every directory it writes to, a small list (ManifestName) records what
// was written: name, command and SHA-256. An existing file may be replaced only
// while it stands in that list unchanged.
//
// Nothing waits for the disk: whatever the tool writes can be made again from
// the log.
package output

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
)

// Batch collects the files of one run, to be put in place together.
// The zero value is not usable; see NewBatch.
type Batch struct {
	command string
	inputs  []os.FileInfo
	files   []file
	folder  string // folder given to Folder, "" = none
	create  func(path string) (io.WriteCloser, error)
}

type file struct {
	path string
	data []byte
}

// NewBatch starts an empty batch of the named command. No output may be one of
// the inputs, under whatever name.
func NewBatch(command string, inputs ...os.FileInfo) *Batch {
	return &Batch{command: command, inputs: inputs, create: createNew}
}

// Folder says that the batch is the whole content that the command keeps in
// this folder: what it wrote there on an earlier run and does not write now is
// removed by Commit, where it is still unchanged.
func (b *Batch) Folder(dir string) { b.folder = dir }

// Allow says, before any work is done, whether path may be written.
func (b *Batch) Allow(path string) error {
	folder := filepath.Dir(path)
	if isNotFolder(folder) {
		return fmt.Errorf("%q is a file, not a folder; name another output folder", folder)
	}
	dir, err := readManifest(folder)
	if err != nil {
		return err
	}
	return b.allow(path, dir)
}

// Add stages one file.
func (b *Batch) Add(path string, data []byte) error {
	path = filepath.Clean(path)
	if filepath.Base(path) == ManifestName {
		return fmt.Errorf("%q is the name of pleatstat's own list; name another output", path)
	}
	if slices.ContainsFunc(b.files, func(f file) bool { return f.path == path }) {
		return fmt.Errorf("two outputs would be written to the same file %q; give each its own name", path)
	}
	b.files = append(b.files, file{path, data})
	return nil
}

func (b *Batch) allow(path string, m manifest) error {
	info, err := os.Lstat(path)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	if target, err := os.Stat(path); err == nil {
		for _, in := range b.inputs {
			if os.SameFile(in, target) {
				return fmt.Errorf("%q is the log itself; nothing was written; name another output", path)
			}
		}
	}
	if !info.Mode().IsRegular() {
		return fmt.Errorf("%q is not an ordinary file, so it is not written to; name another output", path)
	}
	ours, err := m.wrote(path)
	if err != nil {
		return err
	}
	if !ours {
		return fmt.Errorf("%q exists and was not written by pleatstat (or was changed since); nothing was written; move it away or name another output", path)
	}
	return nil
}

// Commit puts all files in place: each is written beside its place first, and
// only when all are complete are they renamed. On any failure before that
// point, or when ctx is done, nothing remains.
func (b *Batch) Commit(ctx context.Context) error {
	var undo undoing
	lists, err := b.prepare(&undo)
	if err == nil {
		err = b.place(ctx, &undo)
	}
	if err != nil {
		undo.run()
		return err
	}
	return b.removeStale(lists)
}

// undoing is what takes back the steps done so far.
type undoing []func()

func (u undoing) run() {
	for _, f := range slices.Backward(u) {
		f()
	}
}

// prepare makes the folders, checks every output and adds the lists of what is
// written. It returns the lists as they were, by folder.
func (b *Batch) prepare(undo *undoing) (map[string]manifest, error) {
	lists := map[string]manifest{}
	var order []string
	for _, f := range b.files {
		dir := filepath.Dir(f.path)
		if _, seen := lists[dir]; !seen {
			made, err := makeFolder(dir)
			*undo = append(*undo, func() { removeAll(made) })
			if err != nil {
				return nil, err
			}
			if lists[dir], err = readManifest(dir); err != nil {
				return nil, err
			}
			order = append(order, dir)
		}
		if err := b.allow(f.path, lists[dir]); err != nil {
			return nil, err
		}
	}
	for _, dir := range order {
		next := lists[dir].with(b.command, dir, b.files)
		b.files = append(b.files, file{filepath.Join(dir, ManifestName), next.bytes()})
	}
	return lists, nil
}

// place writes every file beside its place and then renames them all.
func (b *Batch) place(ctx context.Context, undo *undoing) error {
	temps := make([]string, len(b.files))
	for i, f := range b.files {
		if err := ctx.Err(); err != nil {
			return err
		}
		temps[i] = filepath.Join(filepath.Dir(f.path), ".pleatstat-"+rand.Text()+".tmp")
		*undo = append(*undo, func() { os.Remove(temps[i]) })
		if err := b.write(temps[i], f.data); err != nil {
			return fmt.Errorf("writing %q: %w", f.path, cause(err))
		}
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	// The lists go first: a run that is cut short between two renames then
	// leaves no file that a later run would take for the user's own.
	for _, i := range manifestsFirst(b.files) {
		path := b.files[i].path
		_, err := os.Lstat(path)
		isNew := errors.Is(err, os.ErrNotExist)
		if err := os.Rename(temps[i], path); err != nil {
			return fmt.Errorf("putting %q in place: %w", path, err)
		}
		if isNew {
			*undo = append(*undo, func() { os.Remove(path) })
		}
	}
	return nil
}

// removeStale deletes what this command wrote into its folder on an earlier
// run and did not write again.
func (b *Batch) removeStale(lists map[string]manifest) error {
	if b.folder == "" {
		return nil
	}
	dir := filepath.Clean(b.folder)
	for _, e := range lists[dir].Files {
		path := filepath.Join(dir, e.Name)
		kept := slices.ContainsFunc(b.files, func(f file) bool { return f.path == path })
		if e.Command != b.command || kept || e.Name != filepath.Base(e.Name) {
			continue
		}
		if ours, err := lists[dir].wrote(path); err != nil || !ours {
			continue
		}
		if err := os.Remove(path); err != nil {
			return fmt.Errorf("removing %q of an earlier run: %w", path, err)
		}
	}
	return nil
}

// cause takes the name of the temporary file off an error.
func cause(err error) error {
	var path *os.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	return err
}

func (b *Batch) write(path string, data []byte) error {
	w, err := b.create(path)
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return errors.Join(err, w.Close())
}

func createNew(path string) (io.WriteCloser, error) {
	return os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
}

// manifestsFirst is the order of putting files in place.
func manifestsFirst(files []file) []int {
	var first, rest []int
	for i, f := range files {
		if filepath.Base(f.path) == ManifestName {
			first = append(first, i)
		} else {
			rest = append(rest, i)
		}
	}
	return append(first, rest...)
}

// makeFolder creates dir and its parents and returns those it made, outermost
// first.
func makeFolder(dir string) ([]string, error) {
	var missing []string
	for d := dir; ; d = filepath.Dir(d) {
		info, err := os.Stat(d)
		if err == nil && info.IsDir() {
			break
		}
		if err == nil {
			return nil, fmt.Errorf("%q is a file, not a folder; name another output folder", d)
		}
		if !errors.Is(err, os.ErrNotExist) {
			return nil, err
		}
		missing = append(missing, d)
		if filepath.Dir(d) == d {
			break
		}
	}
	slices.Reverse(missing)
	for i, d := range missing {
		if err := os.Mkdir(d, 0o777); err != nil && !errors.Is(err, os.ErrExist) {
			return missing[:i], err
		}
	}
	return missing, nil
}

// removeAll removes folders that are empty, innermost first.
func removeAll(dirs []string) {
	for _, d := range slices.Backward(dirs) {
		os.Remove(d)
	}
}
