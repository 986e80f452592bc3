package dossier

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hindwatt/internal/promise"
)

func report() *promise.Report {
	return &promise.Report{Product: "A test product", Invented: "All of it is invented.", Promises: []promise.Judged{
		{Name: "one", Label: "Does <it>", Verdict: promise.NoEvidence},
	}}
}

func TestWriteMakesTheFolderAndReplacesThePage(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "a", "b")
	for range 2 {
		path, err := Write(report(), dir, "foot")
		if err != nil {
			t.Fatal(err)
		}
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		for _, want := range []string{"A test product", "Does &lt;it&gt;", "no evidence", "foot", "</html>"} {
			if !strings.Contains(string(text), want) {
				t.Errorf("the page lacks %q", want)
			}
		}
	}
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != 1 {
		t.Errorf("%d files in the folder, want the page alone (%v)", len(entries), err)
	}
}

func TestWriteRefusesAFileForAFolder(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Write(report(), file, ""); err == nil {
		t.Error("a file was taken for a folder")
	}
	if text, _ := os.ReadFile(file); string(text) != "mine" {
		t.Error("the file was changed")
	}
}
