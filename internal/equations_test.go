package internal_test

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// TestEquationsAreDocumented: each equation of docs/models.md stands at a line of its package, and the other way round.
func TestEquationsAreDocumented(t *testing.T) {
	text, err := os.ReadFile("../docs/models.md")
	if err != nil {
		t.Fatal(err)
	}
	sections := map[string]string{}
	for _, s := range strings.Split("\n"+string(text), "\n## ")[1:] {
		title, body, _ := strings.Cut(s, "\n")
		sections[title] = body
	}
	for _, c := range []struct{ section, letter, room string }{
		{"Charge", "CH", "study/charge"},
		{"Circuit", "C", "physics/circuit"},
		{"Comparison", "O", "hindsight/compare"},
		{"Conductors", "W", "physics/conductor"},
		{"Fault", "E", "study/fault"},
		{"Hardware", "U", "hardware"},
		{"Heat", "H", "physics/heat"},
		{"Hindsight", "N", "hindsight/life"},
		{"Panel", "Y", "physics/panel"},
		{"Sensitivity", "X", "statistics/sensitivity"},
		{"What inputs change", "Z", "hindsight/influence"},
	} {
		number := regexp.MustCompile(`\[` + c.letter + `[0-9]+\]`)
		numbers := func(text string) []string {
			found := number.FindAllString(text, -1)
			slices.Sort(found)
			return slices.Compact(found)
		}
		files, err := filepath.Glob(c.room + "/*.go")
		if err != nil {
			t.Fatal(err)
		}
		var code strings.Builder
		for _, name := range files {
			text, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			code.Write(text)
		}
		if a, b := numbers(sections[c.section]), numbers(code.String()); !slices.Equal(a, b) || len(a) == 0 {
			t.Errorf("%s: docs/models.md has %v, the code %v", c.section, a, b)
		}
	}
}

// TestEquationsHaveANumberOfTheirOwn: no two equations of docs/models.md have the same.
func TestEquationsHaveANumberOfTheirOwn(t *testing.T) {
	text, err := os.ReadFile("../docs/models.md")
	if err != nil {
		t.Fatal(err)
	}
	number := regexp.MustCompile(`(?:^    |   )\[([A-Z]+[0-9]+)\] `)
	at := map[string]int{}
	for i, line := range strings.Split(string(text), "\n") {
		if !strings.HasPrefix(line, "    [") {
			continue
		}
		for _, found := range number.FindAllStringSubmatch(line, -1) {
			if before := at[found[1]]; before > 0 {
				t.Errorf("docs/models.md:%d: [%s] stands at line %d already", i+1, found[1], before)
			}
			at[found[1]] = i + 1
		}
	}
	if len(at) < 200 {
		t.Errorf("%d equations were found", len(at))
	}
}
