package output

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
)

// ManifestName is the name of the file that lists what the tool wrote into its folder.
const ManifestName = ".pleatstat-written"

const manifestSchema = "pleatstat/written/1"

// maxManifest is the size, in bytes, up to which a list is read: some ten thousand
// files.
const maxManifest = 2 << 20

type manifest struct {
	Schema string  `json:"schema"`
	About  string  `json:"about"`
	Files  []entry `json:"files"`
}

type entry struct {
	Name    string `json:"name"`
	Command string `json:"command"`
	Own     bool   `json:"own,omitempty"` // the command chose the name, not the user
	SHA256  string `json:"sha256"`
}

// readManifest reads the list of a folder; a folder without one has an empty
// list.
func readManifest(dir string) (manifest, error) {
	var m manifest
	path := filepath.Join(dir, ManifestName)
	info, err := os.Lstat(path)
	if errors.Is(err, os.ErrNotExist) || isNotFolder(dir) {
		return m, nil
	}
	if err == nil && !info.Mode().IsRegular() {
		err = fmt.Errorf("%q is not an ordinary file; move it away", path)
	}
	if err != nil {
		return m, err
	}
	f, err := os.Open(path)
	if err != nil {
		return m, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxManifest))
	if err != nil {
		return m, err
	}
	if json.Unmarshal(data, &m) != nil || m.Schema != manifestSchema {
		return m, fmt.Errorf("%q should be pleatstat's list of the files it wrote, but cannot be read as one; move it away", path)
	}
	// A list may name files of its own folder only.
	m.Files = slices.DeleteFunc(m.Files, func(e entry) bool { return e.Name != filepath.Base(e.Name) })
	return m, nil
}

// wrote reports whether the list names the file at path and its content is unchanged.
func (m manifest) wrote(path string) (bool, error) {
	if !slices.ContainsFunc(m.Files, func(e entry) bool { return e.Name == filepath.Base(path) }) {
		return false, nil
	}
	f, err := os.Open(path)
	if err != nil {
		return false, err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return false, err
	}
	sum := hex.EncodeToString(h.Sum(nil))
	return slices.ContainsFunc(m.Files, func(e entry) bool { return e.Name == filepath.Base(path) && e.SHA256 == sum }), nil
}

// with returns the list as it will be once files are written to dir. Entries of
// unchanged files stay, even of those about to be replaced: the old content is in
// place until the rename.
func (m manifest) with(command, dir string, files []file) manifest {
	next := manifest{Schema: manifestSchema,
		About: "Written by pleatstat: it replaces the files listed here while they are unchanged, and no others."}
	for _, e := range m.Files {
		path := filepath.Join(dir, e.Name)
		if ours, err := m.wrote(path); err == nil && ours {
			next.Files = append(next.Files, e)
		}
	}
	for _, f := range files {
		if filepath.Dir(f.path) != dir {
			continue
		}
		sum := sha256.Sum256(f.data)
		e := entry{Name: filepath.Base(f.path), Command: command, Own: f.own, SHA256: hex.EncodeToString(sum[:])}
		if !slices.Contains(next.Files, e) {
			next.Files = append(next.Files, e)
		}
	}
	return next
}

func (m manifest) bytes() []byte {
	data, _ := json.MarshalIndent(m, "", "  ") // strings only: cannot fail
	return append(data, '\n')
}
