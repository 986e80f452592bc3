package product

import (
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"
)

// folder writes files into a new folder: name → content. A name that ends in "/" is a
// folder, a content that begins with "-> " a symbolic link.
func folder(t testing.TB, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, content := range files {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		var err error
		to, link := strings.CutPrefix(content, "-> ")
		switch {
		case strings.HasSuffix(name, "/"):
			err = os.MkdirAll(path, 0o755)
		case link:
			err = os.Symlink(to, path)
		default:
			err = os.WriteFile(path, []byte(content), 0o644)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// copied returns a copy of the folder alder-12 that may be written to.
func copied(t testing.TB) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(alder)); err != nil {
		t.Fatal(err)
	}
	return dir
}

const bare12 = "name = \"bare\"\n"

func TestReadRefusesFolders(t *testing.T) {
	outside := folder(t, map[string]string{"parts.toml": "", "x/made.csv": "date\n"})
	for _, c := range []struct {
		name  string
		files map[string]string
		want  string // DIR stands for the folder, OUT for another one
	}{
		{"empty folder", nil, "product.toml: there is none; want at least this file in the folder"},
		{"no product.toml", map[string]string{"parts.toml": ""}, "product.toml: there is none; want at least this file in the folder"},
		{"a folder for product.toml", map[string]string{"product.toml/": ""}, "product.toml: is no plain file; want a file"},
		{"a folder for a file", map[string]string{"product.toml": bare12, "parts.toml/": ""}, "parts.toml: is no plain file; want a file"},
		{"a file for a folder", map[string]string{"product.toml": bare12, "variants": "x"}, "variants: is no folder; want a folder"},
		{"link out", map[string]string{"product.toml": bare12, "parts.toml": "-> OUT/parts.toml"}, "parts.toml: leads out of the folder; want a file within the folder"},
		{"relative link out", map[string]string{"product.toml": bare12, "parts.toml": "-> ../../../../../../../../etc/passwd"}, "parts.toml: leads out of the folder; want a file within the folder"},
		{"folder linked out", map[string]string{"product.toml": bare12, "installations": "-> OUT"}, "installations: leads out of the folder; want a folder within the folder"},
		{"links in a circle", map[string]string{"product.toml": bare12, "parts.toml": "-> a.toml", "a.toml": "-> parts.toml"}, "parts.toml: its symbolic links lead in a circle; want a file within the folder"},
		{"link to nothing", map[string]string{"product.toml": bare12, "parts.toml": "-> nothing.toml"}, "parts.toml: is a symbolic link that leads nowhere; want a file"},
		{"50 MB", map[string]string{"product.toml": bare12, "parts.toml": strings.Repeat("# 34567\n", 50<<17)}, "parts.toml: is 50 MB; at most 16 MB are read"},
		{"binary junk", map[string]string{"product.toml": "\x7fELF\x02\x01\x01\x00\x00"}, "product.toml:1:8: there is a zero byte, so this is no text; want a text file in UTF-8"},
		{"file name that is no name", map[string]string{"product.toml": bare12, "variants/a b.toml": ""}, "variants/a b.toml: \"a b\" is no name; want letters, digits and -"},
	} {
		for name, content := range c.files {
			c.files[name] = strings.ReplaceAll(content, "OUT", outside)
		}
		dir := folder(t, c.files)
		_, err := Read(dir)
		if err == nil || err.Error() != c.want {
			t.Errorf("%s: %v\nwant %s", c.name, err, c.want)
		}
	}
	for _, c := range []struct{ dir, want string }{
		{"testdata/nowhere", "testdata/nowhere: there is no such folder; want the folder that holds product.toml"},
		{"safety_test.go", "safety_test.go: is no folder; want the folder that holds product.toml"},
		{"", "there is no such folder; want the folder that holds product.toml"},
	} {
		if _, err := Read(c.dir); err == nil || err.Error() != c.want {
			t.Errorf("%q: %v, want %s", c.dir, err, c.want)
		}
	}
}

func TestReadRefusesUnreadable(t *testing.T) {
	if os.Getuid() == 0 || runtime.GOOS == "windows" {
		t.Skip("this user may read everything")
	}
	dir := folder(t, map[string]string{"product.toml": bare12})
	if err := os.Chmod(filepath.Join(dir, "product.toml"), 0); err != nil {
		t.Fatal(err)
	}
	if _, err := Read(dir); err == nil || err.Error() != "product.toml: may not be read; want a file that may be read" {
		t.Error(err)
	}
}

// What is allowed: a byte order mark, other line ends, links within the folder,
// files that are nobody's business.
func TestReadAccepts(t *testing.T) {
	for name, files := range map[string]map[string]string{
		"byte order mark":   {"product.toml": "\xef\xbb\xbf" + bare12},
		"other line ends":   {"product.toml": "name = \"x\"\r\n[sense]\r\nbits = 10\r\n"},
		"no line end":       {"product.toml": "name = \"x\""},
		"empty":             {"product.toml": ""},
		"link within":       {"product.toml": "-> real.toml", "real.toml": bare12},
		"other files":       {"product.toml": bare12, "README.md": "x", "originals/x.bin": "\x00", ".git/config": "\x00", "variants/notes.txt": "x", "variants/.x.toml": "\x00"},
		"empty records":     {"product.toml": bare12, "records/made.csv": ""},
		"bench without any": {"product.toml": bare12, "bench/": ""},
	} {
		f, err := Read(folder(t, files))
		if err != nil {
			t.Errorf("%s: %v", name, err)
		} else if len(f.Warnings)+len(f.RecordErrors) > 0 {
			t.Errorf("%s: %v %v", name, f.Warnings, f.RecordErrors)
		}
	}
}

func TestWarnings(t *testing.T) {
	f, err := Read(folder(t, map[string]string{"product.toml": bare12, "promise.toml": "", "records/make.csv": "", "notes.toml": ""}))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, w := range f.Warnings {
		got = append(got, w.String())
	}
	want := []string{
		"promise.toml is not read; did you mean promises.toml",
		"records/make.csv is not read; want records/made.csv, records/sold.csv, records/returned.csv, records/spent.csv, records/hours.csv or records/readings.csv",
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// A folder that is all mistakes is told about in good time, and not without end.
func TestReadIsQuickOnJunk(t *testing.T) {
	for name, text := range map[string]string{
		"keys":     strings.Repeat("[x]\ny = 1\n", 100000),
		"unknown":  lines("k%d = 1\n", 100000),
		"parts":    lines("[part.p%d]\nkind = \"diode\"\nx = 1\n", 30000),
		"brackets": "a = " + strings.Repeat("[", 5000) + "\n",
		"quotes":   strings.Repeat("a = \"\n", 100000),
		"strings":  "name = \"" + strings.Repeat("x", 4<<20) + "\"",
	} {
		start := time.Now()
		_, err := Read(folder(t, map[string]string{"product.toml": text, "parts.toml": text}))
		if err == nil && name != "strings" {
			t.Errorf("%s: accepted", name)
		}
		if took := time.Since(start); took > 10*time.Second {
			t.Errorf("%s: took %v", name, took)
		}
		if err != nil && strings.Count(err.Error(), "\n") > 50 {
			t.Errorf("%s: %d lines", name, strings.Count(err.Error(), "\n"))
		}
	}
}

func lines(format string, n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(strings.ReplaceAll(format, "%d", strconv.Itoa(i)))
	}
	return b.String()
}
