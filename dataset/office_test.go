package dataset

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// TestLibreOffice: workbooks that LibreOffice writes during the test have the
// same values as the CSV files they are made from.
func TestLibreOffice(t *testing.T) {
	office, err := exec.LookPath("soffice")
	if err != nil {
		t.Skip("LibreOffice (soffice) is not installed; the files it has written are in testdata/logs")
	}
	dir := t.TempDir()
	plain, err := os.ReadFile(filepath.Join(fixtures, "plain.csv"))
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, "log.csv"), plain, 0o600)
	}
	if err != nil {
		t.Fatal(err)
	}
	want := mustRead(t, string(plain), Options{})
	convert := func(to, from string, more ...string) {
		args := append([]string{"-env:UserInstallation=file://" + filepath.Join(dir, "profile"), "--headless", "--convert-to", to}, more...)
		cmd := exec.Command(office, append(args, "--outdir", dir, filepath.Join(dir, from))...)
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
	}
	convert("ods", "log.csv", "--infilter=CSV:44,34,76,1,,1033,false,true")
	convert("xlsx", "log.ods")
	for _, kind := range []string{"ods", "xlsx"} {
		t.Run(kind, func(t *testing.T) {
			got, err := ReadFile(filepath.Join(dir, fmt.Sprintf("log.%s", kind)), Options{})
			if err != nil {
				t.Fatal(err)
			}
			sameValues(t, got, want)
		})
	}
}
