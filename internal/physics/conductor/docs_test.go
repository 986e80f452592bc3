package conductor

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"testing"
)

// TestEquationsAreDocumented: the numbers in the code and in docs/models.md are the same.
func TestEquationsAreDocumented(t *testing.T) {
	number := regexp.MustCompile(`\[W[0-9]+\]`)
	numbers := func(text []byte) []string {
		found := number.FindAllString(string(text), -1)
		slices.Sort(found)
		return slices.Compact(found)
	}
	docs, err := os.ReadFile("../../../docs/models.md")
	if err != nil {
		t.Fatal(err)
	}
	_, section, found := bytes.Cut(docs, []byte("\n## Conductors\n"))
	if !found {
		t.Fatal("docs/models.md has no section on conductors")
	}
	section, _, _ = bytes.Cut(section, []byte("\n## ")) // other sections have a [W1] of their own
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	var code []byte
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		code = append(code, text...)
	}
	if a, b := numbers(section), numbers(code); !slices.Equal(a, b) || len(a) == 0 {
		t.Errorf("docs/models.md has %v, the code %v", a, b)
	}
}
