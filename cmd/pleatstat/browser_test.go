package main

import (
	"bufio"
	"bytes"
	"encoding/base64"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"testing"
	"time"
)

// screens keeps screenshots of the browser tests: go test ./cmd/pleatstat -run Browser
// -screens DIR.
var screens = flag.String("screens", "", "folder for the pictures of the browser tests")

// browser drives a headless Chromium through the W3C WebDriver protocol.
type browser struct {
	t       *testing.T
	session string // address of the session
}

var driverPort = regexp.MustCompile(`started successfully on port (\d+)`)

// openBrowser opens a window of the given size, as a phone if phone is set. It skips the
// test if Chromium or its driver is not installed.
func openBrowser(t *testing.T, width, height int, phone bool) *browser {
	t.Helper()
	driver, err := exec.LookPath("chromedriver")
	if err == nil {
		_, err = exec.LookPath("chromium")
	}
	if err != nil {
		t.Skip("chromium and chromedriver are not installed (Debian: chromium, chromium-driver):", err)
	}
	cmd := exec.Command(driver, "--port=0") // ended below: the context of a test ends before its cleanup
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Skip("chromedriver does not start:", err)
	}
	t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	})
	port := ""
	lines := bufio.NewScanner(out)
	for port == "" && lines.Scan() {
		if m := driverPort.FindStringSubmatch(lines.Text()); m != nil {
			port = m[1]
		}
	}
	if port == "" {
		t.Skip("chromedriver does not say its port")
	}
	go func() { _, _ = io.Copy(io.Discard, out) }()

	options := map[string]any{"args": []string{"--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
		fmt.Sprintf("--window-size=%d,%d", width, height)}}
	if phone {
		options["mobileEmulation"] = map[string]any{"deviceMetrics": map[string]any{"width": width, "height": height, "pixelRatio": 2.0}}
	}
	b := &browser{t: t, session: "http://127.0.0.1:" + port + "/session"}
	value := b.call("POST", "", map[string]any{"capabilities": map[string]any{"alwaysMatch": map[string]any{
		"goog:chromeOptions": options, "goog:loggingPrefs": map[string]string{"browser": "ALL"}}}})
	var made struct{ SessionID string }
	if err := json.Unmarshal(value, &made); err != nil || made.SessionID == "" {
		t.Fatalf("no session: %s", value)
	}
	b.session += "/" + made.SessionID
	t.Cleanup(func() { b.call("DELETE", "", nil) })
	return b
}

// call sends one WebDriver command and returns its value.
func (b *browser) call(method, path string, body any) json.RawMessage {
	b.t.Helper()
	data, err := json.Marshal(body)
	if err != nil {
		b.t.Fatal(err)
	}
	var reader io.Reader
	if method == "POST" {
		reader = bytes.NewReader(data)
	}
	request, err := http.NewRequest(method, b.session+path, reader)
	if err != nil {
		b.t.Fatal(err)
	}
	client := http.Client{Timeout: time.Minute}
	answer, err := client.Do(request)
	if err != nil {
		b.t.Fatal(err)
	}
	defer answer.Body.Close()
	var said struct{ Value json.RawMessage }
	if err := json.NewDecoder(answer.Body).Decode(&said); err != nil {
		b.t.Fatal(err)
	}
	if answer.StatusCode != http.StatusOK {
		b.t.Fatalf("%s %s: %s", method, path, said.Value)
	}
	return said.Value
}

func (b *browser) open(file string) {
	b.t.Helper()
	path, err := filepath.Abs(file)
	if err != nil {
		b.t.Fatal(err)
	}
	b.call("POST", "/url", map[string]string{"url": "file://" + path})
}

// script runs a script in the page and reads its value into v.
func (b *browser) script(v any, code string) {
	b.t.Helper()
	value := b.call("POST", "/execute/sync", map[string]any{"script": code, "args": []any{}})
	if err := json.Unmarshal(value, v); err != nil {
		b.t.Fatalf("%s: %v", value, err)
	}
}

// Keys of the WebDriver protocol.
const (
	keyTab    = "\uE004"
	keyEnter  = "\uE007"
	keyEscape = "\uE00C"
	keySpace  = " "
)

// press presses keys one after the other.
func (b *browser) press(keys ...string) {
	b.t.Helper()
	var actions []map[string]string
	for _, k := range keys {
		actions = append(actions, map[string]string{"type": "keyDown", "value": k}, map[string]string{"type": "keyUp", "value": k})
	}
	b.call("POST", "/actions", map[string]any{"actions": []any{map[string]any{"type": "key", "id": "keyboard", "actions": actions}}})
}

// complaints returns what the page wrote to the console: errors of its script and
// breaches of its content security policy.
func (b *browser) complaints() []string {
	b.t.Helper()
	var entries []struct{ Level, Message string }
	if err := json.Unmarshal(b.call("POST", "/se/log", map[string]string{"type": "browser"}), &entries); err != nil {
		b.t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		out = append(out, e.Level+": "+e.Message)
	}
	return out
}

// screenshot saves a picture of the window if -screens is set.
func (b *browser) screenshot(name string) {
	b.t.Helper()
	if *screens == "" {
		return
	}
	var encoded string
	if err := json.Unmarshal(b.call("GET", "/screenshot", nil), &encoded); err != nil {
		b.t.Fatal(err)
	}
	data, err := base64.StdEncoding.DecodeString(encoded)
	if err != nil {
		b.t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(*screens, name), data, 0o644); err != nil {
		b.t.Fatal(err)
	}
}
