// Package internal_test holds the house in shape.
package internal_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// floors lists the rooms from the top floor to the ground, as ARCHITECTURE.md
// draws them. A package imports only from floors below its own.
var floors = [][]string{
	{"cli"},
	{"desk"},
	{"dossier", "starter", "intake"},
	{"hindsight", "reference"},
	{"promise"},
	{"bind"},
	{"study/charge", "study/setpoint", "study/rating", "study/fault", "study/bench", "study/production", "study/returns", "study/accounts", "product"},
	{"page"},
	{"figure", "calc"},
	{"hardware"},
	{"physics/sun", "physics/panel", "physics/battery", "physics/circuit", "physics/heat", "physics/conductor"},
	{"money", "statistics", "calc/formula"},
	{"numeric"},
	{"quantity"},
}

func floorOf() map[string]int {
	floor := map[string]int{}
	for i, rooms := range floors {
		for _, room := range rooms {
			floor[room] = i
		}
	}
	return floor
}

// roomOf finds the room that a package belongs to: the package itself, or the
// folder above it, since a room may have a closet of its own (product/tree).
func roomOf(floor map[string]int, name string) (int, string, bool) {
	for {
		if at, known := floor[name]; known {
			return at, name, true
		}
		cut := strings.LastIndex(name, "/")
		if cut < 0 {
			return 0, "", false
		}
		name = name[:cut]
	}
}

// breach says why a package must not import another, or "".
func breach(floor map[string]int, from, to string) string {
	a, fromRoom, known := roomOf(floor, from)
	if !known {
		return "internal/" + from + " has no floor: give it one in layout_test.go and ARCHITECTURE.md"
	}
	b, toRoom, known := roomOf(floor, to)
	if !known {
		return "internal/" + from + " imports internal/" + to + ", which has no floor"
	}
	if fromRoom == toRoom {
		return ""
	}
	if b <= a {
		return "internal/" + from + " imports internal/" + to + ", which is not on a floor below it"
	}
	return ""
}

func TestFloors(t *testing.T) {
	floor := floorOf()
	files := 0
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && d.Name() == "testdata" {
			return filepath.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(path, ".go") || filepath.Dir(path) == "." {
			return nil
		}
		files++
		from := filepath.ToSlash(filepath.Dir(path))
		parsed, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		if _, _, known := roomOf(floor, from); !known {
			t.Errorf("%s: %s", path, breach(floor, from, from))
		}
		for _, imported := range parsed.Imports {
			name, err := strconv.Unquote(imported.Path.Value)
			if err != nil {
				return err
			}
			to, ours := strings.CutPrefix(name, "hindwatt/internal/")
			if !ours || to == from {
				continue
			}
			if why := breach(floor, from, to); why != "" {
				t.Errorf("%s: %s", path, why)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if files == 0 {
		t.Fatal("no file was read")
	}
}

func TestFloorsRefuse(t *testing.T) {
	floor := floorOf()
	for _, c := range []struct {
		from, to string
		want     bool
	}{
		{"cli", "promise", false},
		{"quantity", "numeric", true},
		{"product", "study/setpoint", true},
		{"study/setpoint", "product", true},
		{"study/setpoint", "study/bench", true},
		{"bind", "product", false},
		{"product", "product/tree", false},
		{"product/tree", "product", false},
		{"study/setpoint", "product/tree", true},
		{"product/tree", "quantity", false},
		{"attic", "quantity", true},
		{"cli", "attic", true},
	} {
		if got := breach(floor, c.from, c.to) != ""; got != c.want {
			t.Errorf("%s importing %s: refused %v, want %v", c.from, c.to, got, c.want)
		}
	}
}
