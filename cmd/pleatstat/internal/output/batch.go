// Package output writes files whole or not at all, and never overwrites a file that
// the tool did not write itself.
//
// In every folder it writes to, a small list (ManifestName) records the name, command
// and SHA-256 of each file written. An existing file is replaced only if the list
// names it and its content is unchanged. Two runs that write to the same folder take
// turns, so that the list keeps the files of both.
//
// Files are not synced to disk: whatever the tool writes can be made again from the
// log.
package output

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"

	"pleatstat/cmd/pleatstat/internal/console"
)

// Batch collects the files of one run, to be put in place together.
// The zero value is not usable; see NewBatch.
type Batch struct {
	command string
	inputs  []os.FileInfo
	files   []file
	folder  string         // folder given to Folder, "" = none
	scheme  *regexp.Regexp // names of the command's own files in it
	create  func(path string) (io.WriteCloser, error)
}

type file struct {
	path string
	data []byte
	own  bool // the command chose the name, not the user
}

// NewBatch starts an empty batch of the named command. No output may be the same file
// as an input, whatever its path.
func NewBatch(command string, inputs ...os.FileInfo) *Batch {
	return &Batch{command: command, inputs: inputs, create: createNew}
}

// Folder declares that the command keeps a set of its own files in dir, with names
// that scheme matches; AddOwn stages them. Commit removes those that an earlier run
// of the command wrote there and this run does not, if they are unchanged. Files that
// the user named (Add) are never removed.
func (b *Batch) Folder(dir string, scheme *regexp.Regexp) { b.folder, b.scheme = dir, scheme }

// Allow returns an error if path may not be written. Commands call it before any
// work is done.
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

// AllowAll calls Allow for each path and joins the errors. An empty path means no
// file; "-" is refused, since it stands for standard input only.
func (b *Batch) AllowAll(paths ...string) error {
	var errs []error
	for _, path := range paths {
		switch path {
		case "":
		case console.Stdin:
			errs = append(errs, errors.New("- stands for standard input only; name a file to write to"))
		default:
			errs = append(errs, b.Allow(path))
		}
	}
	errs = slices.CompactFunc(errs, func(a, b error) bool { return a != nil && b != nil && a.Error() == b.Error() })
	return errors.Join(errs...)
}

// AllowFolder calls Folder, and AllowAll for the named files in dir. An empty dir
// means no folder.
func (b *Batch) AllowFolder(dir string, scheme *regexp.Regexp, names ...string) error {
	if dir == "" {
		return nil
	}
	b.Folder(dir, scheme)
	paths := make([]string, len(names))
	for i, name := range names {
		paths[i] = filepath.Join(dir, name)
	}
	return b.AllowAll(paths...)
}

// Add stages one file that the user named.
func (b *Batch) Add(path string, data []byte) error { return b.add(path, data, false) }

// File is a file of the folder given to Folder, complete in memory.
type File struct {
	Name string
	Data []byte
}

// AddOwn stages files in the folder given to Folder. Their names must match the
// command's scheme.
func (b *Batch) AddOwn(files ...File) error {
	for _, f := range files {
		if b.scheme == nil || !b.scheme.MatchString(f.Name) {
			return fmt.Errorf("%q is not a name that %s gives to its files", f.Name, b.command)
		}
		if err := b.add(filepath.Join(b.folder, f.Name), f.Data, true); err != nil {
			return err
		}
	}
	return nil
}

// AddWritten stages one file that the user named, with the content that write writes.
// An empty path means no file.
func (b *Batch) AddWritten(path string, write func(io.Writer) error) error {
	if path == "" {
		return nil
	}
	var text bytes.Buffer
	return errors.Join(write(&text), b.Add(path, text.Bytes()))
}

func (b *Batch) add(path string, data []byte, own bool) error {
	path = filepath.Clean(path)
	if filepath.Base(path) == ManifestName {
		return fmt.Errorf("%q is the name of pleatstat's own list; name another output", path)
	}
	if slices.ContainsFunc(b.files, func(f file) bool { return f.path == path }) {
		return fmt.Errorf("two outputs would be written to the same file %q; give each its own name", path)
	}
	b.files = append(b.files, file{path: path, data: data, own: own})
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
	if b.isInput(path) {
		return fmt.Errorf("%q is the log itself; nothing was written; name another output", path)
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

// isInput reports whether path leads to an input of this run.
func (b *Batch) isInput(path string) bool {
	target, err := os.Stat(path)
	return err == nil && slices.ContainsFunc(b.inputs, func(in os.FileInfo) bool { return os.SameFile(in, target) })
}

// Commit writes all staged files. Each is first written to a temporary file in the
// same folder; only when all are complete are they moved into place. If anything
// fails before then, or ctx is done, nothing is left behind. Temporary files that a
// killed run left in the folders are removed.
func (b *Batch) Commit(ctx context.Context) error {
	var made, undo undoing
	folders, err := b.openFolders(ctx, &made)
	defer func() {
		for _, d := range folders {
			d.close()
		}
		if err != nil && lockIsInside {
			made.run() // the folders are empty only now, without the lock file
		}
	}()
	if err == nil {
		err = b.prepare(folders)
	}
	if err == nil {
		err = b.place(ctx, folders, &undo)
	}
	if err != nil {
		undo.run()
		made.run()
		return err
	}
	return b.removeStale(folders)
}

// undoing holds functions that undo the steps done so far; they run in reverse order.
type undoing []func()

func (u undoing) run() {
	for _, f := range slices.Backward(u) {
		f()
	}
}

// removeStale deletes the files that an earlier run of this command wrote into its
// folder as its own and that this run does not write. The list may be out of date or
// edited, so it is not trusted: a file is deleted only if its name matches the
// command's scheme, its content the recorded hash, and it is no input of this run.
func (b *Batch) removeStale(folders []*folder) error {
	if b.folder == "" {
		return nil
	}
	i := slices.IndexFunc(folders, func(d *folder) bool { return sameFolder(d.path, b.folder) })
	if i < 0 {
		return nil
	}
	d := folders[i]
	for _, e := range d.list.Files {
		path := filepath.Join(d.path, e.Name)
		kept := slices.ContainsFunc(b.files, func(f file) bool { return f.path == path })
		if !e.Own || e.Command != b.command || kept || !b.scheme.MatchString(e.Name) || b.isInput(path) {
			continue
		}
		if ours, err := d.list.wrote(path); err != nil || !ours {
			continue
		}
		if err := os.Remove(path); err != nil {
			return fmt.Errorf("removing %q of an earlier run: %w", path, err)
		}
	}
	return nil
}
