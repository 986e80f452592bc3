package diagram

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// read reads a circuit of testdata: name, kind, label, place, then the nodes of its ends; "-" is empty and "_" a space.
func read(t testing.TB, name string) Circuit {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name+".circuit"))
	if err != nil {
		t.Fatal(err)
	}
	c := Circuit{Title: name}
	for line := range strings.Lines(string(data)) {
		f := strings.Fields(line)
		text := func(i int) string {
			if f[i] == "-" {
				return ""
			}
			return strings.ReplaceAll(f[i], "_", " ")
		}
		p := Part{Name: f[0], Kind: f[1], Label: text(2), Place: text(3)}
		for _, node := range f[4:] {
			p.Ends = append(p.Ends, End{Node: node})
		}
		c.Parts = append(c.Parts, p)
	}
	return c
}

var circuits = []string{"demo", "series-negative", "series-negative-lead", "series-positive", "shunt", "back-to-back"}

func TestPictures(t *testing.T) {
	dir := os.Getenv("PICTURES")
	if dir == "" {
		t.Skip()
	}
	for _, name := range circuits {
		d := read(t, name).Drawing(0)
		var b bytes.Buffer
		if err := d.PNG(&b, 2); err != nil {
			t.Fatal(err)
		}
		os.WriteFile(filepath.Join(dir, name+".png"), b.Bytes(), 0o644)
		t.Log(name, d.Width, d.Height)
	}
}
