package product

import (
	"os"
	"strings"
	"testing"
)

// without returns a file of alder-12 without the lines that begin so.
func without(t *testing.T, file string, starts ...string) Option {
	t.Helper()
	data, err := os.ReadFile(alder + "/" + file)
	if err != nil {
		t.Fatal(err)
	}
	var kept []string
	for _, line := range strings.Split(string(data), "\n") {
		drop := false
		for _, start := range starts {
			drop = drop || strings.HasPrefix(line, start)
		}
		if !drop {
			kept = append(kept, line)
		}
	}
	if len(kept) > strings.Count(string(data), "\n")+1-len(starts) {
		t.Fatalf("%s has no lines %q", file, starts)
	}
	return With(file, []byte(strings.Join(kept, "\n")))
}

// A value that is missing does not stop the variants that give one, nor those that do not.
func TestSetGivesAMissingValue(t *testing.T) {
	f := readAlder(t, without(t, "product.toml", "reference ", "bits "), without(t, "installations/hut.toml", "rise"))
	for _, c := range []struct {
		variant   string
		bits      int
		reference string
	}{
		{"", 0, "product.toml: sense.reference is missing"},
		{"first", 12, "variants/first.toml:8"},
		{"gel", 12, "variants/gel.toml:6"},
	} {
		p, _ := f.Resolve(c.variant)
		got := p.Sense.Reference.Origin.String()
		if !p.Sense.Reference.Set() {
			got = p.Sense.Reference.Lack().String()
		}
		if p.Sense.Bits.N != c.bits || got != c.reference {
			t.Errorf("%q: %d bits, reference %s, want %d, %s", c.variant, p.Sense.Bits.N, got, c.bits, c.reference)
		}
	}
	if p, _ := f.Resolve("gel"); p.Installations.Get("hut").Battery.Rise.Value != 4 {
		t.Error("rise was not set")
	}
}

// Tables of the schema need not be there either.
func TestSetInAMissingTable(t *testing.T) {
	f, err := Read(folder(t, map[string]string{
		"product.toml": bare12,
		"variants/wide.toml": `[set]
"product.sense.bits" = 12
"product.sense.trimmed.at" = "13.6 V"
product.indicator.kind = "lamps"
"production.work.week" = "20 h"
`}))
	if err != nil {
		t.Fatal(err.(Errors).Detail())
	}
	p, _ := f.Resolve("wide")
	if p.Sense.Bits.N != 12 || p.Sense.Trimmed.At.Items[0].Value != 13.6 || !p.Indicator.Kind.Is("lamps") || p.Production.Work.Week.Value != 20*3600 {
		t.Errorf("%+v", p.Main)
	}
	if got := p.Sense.Top.Lack().String(); got != "product.toml: sense.top is missing" {
		t.Error(got)
	}
}

// A decision may outlive the file of promises that it names; it is no reason to stop.
func TestDecisionsWithoutPromises(t *testing.T) {
	files := map[string]string{
		"product.toml":         bare12,
		"decisions/why-1.md":   "+++\npromises = [\"float\"]\nvariants = [\"wide\"]\n+++\nSo.\n",
		"variants/narrow.toml": "",
	}
	const unknown = "decisions/why-1.md:3:13: variants[1]: \"wide\": there is no such variant; want narrow"
	if _, err := Read(folder(t, files)); err == nil || err.Error() != unknown {
		t.Errorf("%v\nwant %s", err, unknown)
	}
	delete(files, "variants/narrow.toml")
	f, err := Read(folder(t, files))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, w := range f.Warnings {
		got = append(got, w.String())
	}
	want := []string{
		`decisions/why-1.md:3 names the variant "wide", and there is none in variants; write it there, or take its name out`,
		`decisions/why-1.md:2 names the promise "float", and there is none in promises.toml; write it there, or take its name out`,
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	files["promises.toml"] = "[promise.flaot]\nlabel = \"x\"\n"
	const near = "decisions/why-1.md:2:13: promises[1]: \"float\": there is no such promise; did you mean flaot"
	if _, err := Read(folder(t, files)); err == nil || err.Error() != near {
		t.Errorf("%v\nwant %s", err, near)
	}
}
