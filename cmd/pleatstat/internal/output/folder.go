package output

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// folder is a directory that a batch is writing to.
type folder struct {
	path string
	list manifest // as it was before the batch
	lock *os.File // nil where the file system has no locks
}

func (d *folder) close() {
	if d.lock != nil {
		d.lock.Close() // releases the lock
	}
}

// listOf returns the list of the folder that holds path.
func listOf(folders []*folder, path string) manifest {
	for _, d := range folders {
		if d.path == filepath.Dir(path) {
			return d.list
		}
	}
	return manifest{}
}

// turn is how long a run waits for another one that writes into the same folder,
// which takes a fraction of a second; pause is the time between two attempts.
const (
	turn  = 30 * time.Second
	pause = 5 * time.Millisecond
)

// openFolders creates the folders of a batch, locks each against other runs, removes
// what a killed run left and reads the lists. All runs lock in the same order, so
// that no two wait for each other.
func (b *Batch) openFolders(ctx context.Context, undo *undoing) ([]*folder, error) {
	var paths []string
	for i, f := range b.files {
		dir := filepath.Dir(f.path)
		made, err := makeFolder(dir)
		*undo = append(*undo, func() { removeAll(made) })
		if err != nil {
			return nil, err
		}
		same := slices.IndexFunc(paths, func(p string) bool { return sameFolder(p, dir) })
		if same < 0 {
			paths = append(paths, dir)
			continue
		}
		// The same folder under two names has one list.
		f.path = filepath.Join(paths[same], filepath.Base(f.path))
		if slices.ContainsFunc(b.files[:i], func(g file) bool { return g.path == f.path }) {
			return nil, fmt.Errorf("two outputs would be written to the same file %q; give each its own name", f.path)
		}
		b.files[i] = f
	}
	slices.SortFunc(paths, func(a, b string) int { return strings.Compare(realPath(a), realPath(b)) })
	var folders []*folder
	for _, path := range paths {
		d, err := openFolder(ctx, path)
		if err != nil {
			return folders, err
		}
		folders = append(folders, d)
	}
	return folders, nil
}

func openFolder(ctx context.Context, path string) (*folder, error) {
	d := &folder{path: path}
	var err error
	if d.lock, err = lockFolder(ctx, path); err != nil {
		return nil, err
	}
	if d.lock != nil {
		// Temporary files are written only under the lock, so these belong to no running
		// process.
		removeLeftovers(path)
	}
	if d.list, err = readManifest(path); err != nil {
		d.close()
		return nil, err
	}
	return d, nil
}

// lockFolder waits until no other run is writing into the folder. The lock is
// released when the process ends, however it ends. It is nil where the file system
// has no locks: files are then still checked and moved into place one by one, but of
// two runs at once each may leave the other's files out of the list.
func lockFolder(ctx context.Context, path string) (*os.File, error) {
	for last := time.Now().Add(turn); ; {
		lock, err := tryLock(path)
		if err == nil {
			return lock, nil
		}
		if !errors.Is(err, errHeld) {
			return nil, nil
		}
		if time.Now().After(last) {
			return nil, fmt.Errorf("another run of pleatstat has been writing into %q for %.0f seconds; nothing was written; end it and try again", path, turn.Seconds())
		}
		select {
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-time.After(pause):
		}
	}
}

// errHeld is returned by tryLock when another run holds the lock.
var errHeld = errors.New("another run holds the lock")

// removeLeftovers deletes temporary files of a run that was killed before it moved
// them into place. One that cannot be deleted does no harm.
func removeLeftovers(dir string) {
	entries, _ := os.ReadDir(dir)
	for _, e := range entries {
		if e.Type().IsRegular() && temporary.MatchString(e.Name()) {
			os.Remove(filepath.Join(dir, e.Name()))
		}
	}
}

func sameFolder(a, b string) bool {
	if a == b {
		return true
	}
	infoA, errA := os.Stat(a)
	infoB, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(infoA, infoB)
}

// realPath returns the absolute path of a folder without symbolic links, so that runs
// that name their folders differently lock them in the same order.
func realPath(path string) string {
	if full, err := filepath.Abs(path); err == nil {
		path = full
	}
	if full, err := filepath.EvalSymlinks(path); err == nil {
		path = full
	}
	return path
}

func isNotFolder(dir string) bool {
	info, err := os.Stat(dir)
	return err == nil && !info.IsDir()
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
