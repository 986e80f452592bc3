package desk

import (
	"os"
	"path/filepath"
	"testing"

	"hindwatt/internal/product"
)

// A folder that was read for a change is not read again, unless something else has changed meanwhile.
func TestAFolderIsReadOnceForAChange(t *testing.T) {
	s := serve(t, small)
	change := func(text string, meanwhile func()) *given {
		s.sight.given = nil
		_, err := s.sight.change("product.toml", func(dir string) (product.Change, error) {
			c, err := product.Set(dir, "product.toml", "current", text)
			meanwhile()
			return c, err
		})
		if err != nil {
			t.Fatal(err)
		}
		return s.sight.given
	}
	one := change("11 A", func() {})
	if one == nil || s.sight.look("").folder != one.folder || s.sight.look("").laid.Current.Text != "11 A" {
		t.Fatal("the folder was read again")
	}
	for file, text := range map[string]string{"production.toml": small["production.toml"] + "# meanwhile\n", "product.toml": small["product.toml"] + "# meanwhile\n", "variants/x.toml": "why = \"x\"\n"} {
		if change("12 A", func() {
			if err := os.MkdirAll(filepath.Join(s.dir, "variants"), 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(s.dir, file), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}) != nil {
			t.Errorf("%s was changed meanwhile, and the folder from before was kept", file)
		}
		change("11 A", func() {})
	}
	c, err := product.Set(s.dir, "product.toml", "current", "13 A")
	if err != nil {
		t.Fatal(err)
	}
	if f := c.Folder(); f == nil || !c.Stands(s.dir) || c.Folder() != nil {
		t.Error("a change does not hand its folder over once")
	}
	os.WriteFile(filepath.Join(s.dir, "product.toml"), []byte(small["product.toml"]), 0o644)
	if c.Stands(s.dir) {
		t.Error("the change is said to stand in another file")
	}
}
