package heat

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"testing"
)

// Every equation of docs/models.md stands at a line that computes it, and the other way round.
func TestEquationsStandInTheDocument(t *testing.T) {
	number := regexp.MustCompile(`\[H\d+\]`)
	document, err := os.ReadFile("../../../docs/models.md")
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]bool{}
	for _, tag := range regexp.MustCompile(`(?m)^    \[H\d+\]`).FindAllString(string(document), -1) {
		want[number.FindString(tag)] = true
	}
	files, _ := filepath.Glob("*.go")
	var code []string
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		code = append(code, number.FindAllString(string(text), -1)...)
	}
	for tag := range want {
		if !slices.Contains(code, tag) {
			t.Errorf("%s is in the document, not in the code", tag)
		}
	}
	for _, tag := range code {
		if !want[tag] {
			t.Errorf("%s is in the code, not in the document", tag)
		}
	}
	if len(want) < 30 {
		t.Errorf("only %d equations", len(want))
	}
}
