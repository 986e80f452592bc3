package product

import (
	"os"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// sectionsOf are the headings of docs/folder.md under which a file's keys stand.
var sectionsOf = map[string][]string{
	"product.toml":            {"## product.toml", "### [regulation]", "### [sense]", "### [indicator]", "### [standby]", "### [circuit]", "### [enclosure.NAME]"},
	"parts.toml":              {"## parts.toml"},
	"promises.toml":           {"## promises.toml"},
	"production.toml":         {"## production.toml"},
	"installations/NAME.toml": {"## installations/NAME.toml"},
	"variants/NAME.toml":      {"## variants/NAME.toml"},
	"changes.toml":            {"## changes.toml"},
	"bench/meters.toml":       {"## bench/meters.toml"},
	"bench/NAME.toml":         {"## bench/NAME.toml"},
	"decisions/NAME.md":       {"## decisions/NAME.md"},
}

func folderDoc(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("../../docs/folder.md")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// section returns the text under a heading, up to the next one.
func section(t *testing.T, doc, heading string) string {
	t.Helper()
	_, after, found := strings.Cut("\n"+doc, "\n"+heading)
	if !found {
		t.Fatalf("docs/folder.md has no %q", heading)
	}
	if end := regexp.MustCompile(`\n##+ `).FindStringIndex(after); end != nil {
		after = after[:end[0]]
	}
	return after
}

// home returns the part of docs/folder.md in which a key must stand.
func home(t *testing.T, doc string, k Key) string {
	t.Helper()
	if csv, ok := strings.CutPrefix(k.File, "records/"); ok {
		return lineWith(t, section(t, doc, "## records/"), "| "+csv)
	}
	top, _, _ := strings.Cut(k.Path, ".")
	switch k.File {
	case productFile:
		heading := "## product.toml"
		for _, h := range sectionsOf[productFile] {
			if strings.HasPrefix(h, "### ["+top) {
				heading = h
			}
		}
		return section(t, doc, heading)
	case partsFile:
		if k.Kind != "" {
			return lineWith(t, section(t, doc, "## parts.toml"), "| `"+k.Kind+"`")
		}
	case productionFile:
		return lineWith(t, section(t, doc, "## production.toml"), "| `["+top)
	}
	return section(t, doc, sectionsOf[k.File][0])
}

func lineWith(t *testing.T, text, start string) string {
	t.Helper()
	for _, line := range strings.Split(text, "\n") {
		if strings.HasPrefix(line, start) {
			return line
		}
	}
	t.Fatalf("docs/folder.md has no line %q", start)
	return ""
}

var word = regexp.MustCompile(`[a-zA-Z_]+`)

func TestEveryKeyIsInTheDocument(t *testing.T) {
	doc := folderDoc(t)
	keys := Keys()
	if len(keys) < 250 {
		t.Fatalf("only %d keys", len(keys))
	}
	for _, k := range keys {
		_, last, _ := cutLast(strings.TrimSuffix(k.Path, ".NAME"))
		if !slices.Contains(word.FindAllString(home(t, doc, k), -1), last) {
			t.Errorf("%s: %s %s is not in its section of docs/folder.md", k.File, k.Kind, k.Path)
		}
	}
}

var inBackticks = regexp.MustCompile("`([a-z_]+)`")

// Every word in backticks in the first column of a table of keys is a key.
func TestEveryKeyOfTheDocumentExists(t *testing.T) {
	doc := folderDoc(t)
	known := map[string]bool{}
	for _, k := range Keys() {
		for _, part := range strings.Split(k.Path, ".") {
			known[part] = true
		}
		known[k.Kind] = true
	}
	seen := 0
	for _, headings := range sectionsOf {
		for _, heading := range headings {
			for _, line := range strings.Split(section(t, doc, heading), "\n") {
				cells := strings.Split(line, "|")
				if len(cells) < 4 {
					continue
				}
				for _, m := range inBackticks.FindAllStringSubmatch(cells[1], -1) {
					seen++
					if !known[m[1]] {
						t.Errorf("%s: %s is no key", heading, m[1])
					}
				}
			}
		}
	}
	if seen < 80 {
		t.Errorf("only %d keys were found in the document", seen)
	}
}

// The words that a key accepts stand in the document too.
func TestEveryWordIsInTheDocument(t *testing.T) {
	doc := folderDoc(t)
	for _, f := range fileSchemas {
		for _, w := range wordsUnder(f.of) {
			if !strings.Contains(doc, w) {
				t.Errorf("%s: %q is not in docs/folder.md", f.file, w)
			}
		}
	}
}

func wordsUnder(t reflect.Type) (words []string) {
	for _, s := range planOf(t).fields {
		words = append(words, s.words...)
		of := t.Field(s.index).Type
		if named, ok := reflect.New(of).Interface().(interface{ entry() reflect.Type }); ok {
			of = named.entry()
		}
		if _, single := reflect.New(of).Interface().(value); !single {
			words = append(words, wordsUnder(of)...)
		}
	}
	for i := range t.NumField() {
		if t.Field(i).Tag.Get("when") != "" {
			words = append(words, wordsUnder(t.Field(i).Type.Elem())...)
		}
	}
	return words
}
