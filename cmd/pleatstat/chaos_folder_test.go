//go:build linux

package main

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"pleatstat/cmd/pleatstat/internal/output"
)

// foreignTemporary is a file of the user's whose name resembles a temporary one.
const foreignTemporary = ".pleatstat-notes.tmp"

// again changes the folder of a first run as users might, or worse, runs the command once
// more, and checks that everything but its own files is unchanged.
func (c *chaosCase) again(command, log string, written map[string]string) {
	changed := c.disturb(log, slices.Sorted(maps.Keys(written)))
	c.what += "; then " + strings.Join(changed, ", ")
	before := c.tree(".")
	r := c.start(command, log, "out1")
	c.tally = append(c.tally, "folder changed")
	if r.code == exitFailed {
		c.tally = append(c.tally, "folder changed: refused")
	}
	after := c.tree(".")
	if _, there := after["out1/"+leftoverName]; there && r.code != exitFailed {
		c.fault("what a killed run left is still there")
	}
	list := filepath.Join("out1", output.ManifestName)
	for name, data := range before {
		own := written[name] == data && strings.HasPrefix(name, "out1/")
		readable := name == list && json.Valid([]byte(data)) // then it may be rewritten
		if own || readable || leftover(name) {
			continue
		}
		if now, there := after[name]; !there {
			c.fault("%s, which it did not write, is gone", name)
		} else if now != data {
			c.fault("%s, which it did not write, was changed", name)
		}
	}
}

func leftover(name string) bool { return strings.HasSuffix(name, leftoverName) }

// leftoverName is the name of a file as a killed run leaves it.
const leftoverName = ".pleatstat-ABCDEFGHIJKLMNOPQRSTUVWXYZ.tmp"

// disturb changes a folder in one to three ways and returns their names.
func (c *chaosCase) disturb(log string, written []string) []string {
	one := func() string { return written[c.rng.IntN(len(written))] }
	full := func(name string) string { return filepath.Join(c.dir, name) }
	replace := func(name string, with func() error) {
		os.RemoveAll(full(name))
		with() // may fail if an earlier change made it a folder
	}
	ways := map[string]func(){
		"one of its files edited": func() {
			name := one() // as editors save: a new file, even in place of a link
			if data, err := os.ReadFile(full(name)); err == nil {
				replace(name, func() error { return os.WriteFile(full(name), append(data, "my own words\n"...), 0o666) })
			}
		},
		"one of its files removed": func() { os.Remove(full(one())) },
		"its list removed":         func() { os.Remove(full(filepath.Join("out1", output.ManifestName))) },
		"its list cut": func() {
			name := filepath.Join("out1", output.ManifestName)
			if data, err := os.ReadFile(full(name)); err == nil && len(data) > 0 {
				replace(name, func() error { return os.WriteFile(full(name), data[:c.rng.IntN(len(data))], 0o666) })
			}
		},
		"files of the user's beside it": func() {
			for _, name := range []string{"notes.txt", "drift-mine.txt", "trend-old.svg.bak", "best-value.csv.old", foreignTemporary, "log.csv"} {
				c.put(filepath.Join("out1", name), []byte("mine\n"))
			}
		},
		"files of the user's under its names": func() {
			for _, name := range []string{"trend-mine.svg", "drift-pleats.svg", "page.html", "findings.json"} {
				if _, err := os.Lstat(full("out1/" + name)); err != nil {
					c.put(filepath.Join("out1", name), []byte("mine\n"))
				}
			}
		},
		"the list claims files of the user's": func() { c.claim(log) },
		"one of its files a link to the log": func() {
			name := one()
			replace(name, func() error { return os.Symlink(full(log), full(name)) })
		},
		"one of its files the log by another name": func() {
			name := one()
			replace(name, func() error { return os.Link(full(log), full(name)) })
		},
		"one of its files a folder": func() {
			name := one()
			replace(name, func() error { return os.Mkdir(full(name), 0o777) })
			c.put(filepath.Join(name, "mine.txt"), []byte("mine\n"))
		},
		"a file that a killed run left": func() { c.put("out1/"+leftoverName, []byte("half")) },
	}
	names := slices.Sorted(maps.Keys(ways))
	// Prefer changes that do not make the command refuse.
	names = append(names, "one of its files removed", "files of the user's beside it", "a file that a killed run left")
	if c.rng.IntN(2) == 0 {
		names = names[len(ways):]
	}
	var done []string
	for range 1 + c.rng.IntN(3) {
		name := names[c.rng.IntN(len(names))]
		if slices.Contains(done, name) {
			continue
		}
		if strings.Contains(name, "a folder") && len(done) > 0 {
			continue // the other changes need files
		}
		ways[name]()
		done = append(done, name)
		if strings.Contains(name, "a folder") {
			break
		}
	}
	return done
}

// claim adds files of the user's to the list as the command's own. The command would not
// give their names, or the file is the log.
func (c *chaosCase) claim(log string) {
	path := filepath.Join(c.dir, "out1", output.ManifestName)
	data, err := os.ReadFile(path)
	var list map[string]any
	if err != nil || json.Unmarshal(data, &list) != nil {
		return
	}
	text, err := os.ReadFile(filepath.Join(c.dir, log))
	if err != nil {
		return
	}
	os.Link(filepath.Join(c.dir, log), filepath.Join(c.dir, "out1", "findings-log.csv"))
	c.put(filepath.Join("out1", "my-drift.png"), []byte("mine\n"))
	claimed := map[string][]byte{"findings-log.csv": text, "my-drift.png": []byte("mine\n"), "../" + log: text}
	files, _ := list["files"].([]any)
	for _, name := range slices.Sorted(maps.Keys(claimed)) {
		for _, command := range []string{"report", "drift", "roundup", "check"} {
			sum := sha256.Sum256(claimed[name])
			files = append(files, map[string]any{"name": name, "command": command, "own": true, "sha256": hex.EncodeToString(sum[:])})
		}
	}
	list["files"] = files
	if data, err = json.Marshal(list); err == nil {
		os.WriteFile(path, data, 0o666)
	}
}
