package output

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
)

// temporary matches the names of files not yet in place: rand.Text gives 26
// characters of the RFC 4648 base32 alphabet.
var temporary = regexp.MustCompile(`^\.pleatstat-[A-Z2-7]{26}\.tmp$`)

func temporaryName() string { return ".pleatstat-" + rand.Text() + ".tmp" }

// prepare checks that every output may be written and adds the new list of each
// folder to the batch.
func (b *Batch) prepare(folders []*folder) error {
	for _, f := range b.files {
		if err := b.allow(f.path, listOf(folders, f.path)); err != nil {
			return err
		}
	}
	staged := b.files
	for _, d := range folders {
		b.files = append(b.files, file{path: filepath.Join(d.path, ManifestName), data: d.list.with(b.command, d.path, staged).bytes()})
	}
	return nil
}

// place writes every file to a temporary file in its folder, then moves them all into
// place.
func (b *Batch) place(ctx context.Context, folders []*folder, undo *undoing) error {
	temps := make([]string, len(b.files))
	for i, f := range b.files {
		if err := ctx.Err(); err != nil {
			return err
		}
		temps[i] = filepath.Join(filepath.Dir(f.path), temporaryName())
		*undo = append(*undo, func() { os.Remove(temps[i]) })
		if err := b.write(temps[i], f.data); err != nil {
			return fmt.Errorf("writing %q: %w", f.path, cause(err))
		}
		if was, err := os.Lstat(f.path); err == nil && was.Mode().IsRegular() {
			if err := os.Chmod(temps[i], was.Mode().Perm()); err != nil {
				return fmt.Errorf("keeping the permissions of %q: %w", f.path, cause(err))
			}
		}
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	// Check again: the user may have added or changed a file while these were written.
	isNew := make([]bool, len(b.files))
	for i, f := range b.files {
		_, err := os.Lstat(f.path)
		isNew[i] = errors.Is(err, os.ErrNotExist)
		if filepath.Base(f.path) == ManifestName {
			continue
		}
		if err := b.allow(f.path, listOf(folders, f.path)); err != nil {
			return err
		}
	}
	// The lists go first: a run that is cut short between two files then leaves no file
	// that a later run would take for the user's own.
	for _, i := range manifestsFirst(b.files) {
		path := b.files[i].path
		if isNew[i] {
			if err := moveNew(temps[i], path); err != nil {
				return err
			}
			*undo = append(*undo, func() { os.Remove(path) })
		} else if err := os.Rename(temps[i], path); err != nil {
			return fmt.Errorf("putting %q in place: %w", path, cause(err))
		}
	}
	return nil
}

// moveNew moves a complete file to a path where no file exists. A hard link, unlike a
// rename, fails if a file has appeared there meanwhile; a file system without hard
// links gets a rename.
func moveNew(temp, path string) error {
	switch err := os.Link(temp, path); {
	case err == nil:
		return os.Remove(temp)
	case errors.Is(err, os.ErrExist):
		return fmt.Errorf("%q appeared while the files were written; it was left as it is; move it away or name another output", path)
	}
	if err := os.Rename(temp, path); err != nil {
		return fmt.Errorf("putting %q in place: %w", path, cause(err))
	}
	return nil
}

// cause strips the name of the temporary file from an error.
func cause(err error) error {
	var path *os.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	var link *os.LinkError
	if errors.As(err, &link) {
		return link.Err
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

// manifestsFirst returns the indices of files with the lists first.
func manifestsFirst(files []file) []int {
	order := make([]int, len(files))
	for i := range order {
		order[i] = i
	}
	rank := func(i int) int {
		if filepath.Base(files[i].path) == ManifestName {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(order, func(a, b int) int { return rank(a) - rank(b) })
	return order
}
