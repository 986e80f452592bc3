package product

import (
	"strings"
	"testing"

	"hindwatt/internal/quantity"
)

// Whatever is listed can be laid over the product by its path, as it is written, and is then what it was without its spread.
func TestEveryInputCanBeLaid(t *testing.T) {
	for _, dir := range []string{"testdata/alder-12", "../../demo/osier-24"} {
		f, err := Read(dir)
		if err != nil {
			t.Fatal(err)
		}
		p, err := f.Resolve("")
		if err != nil {
			t.Fatal(err)
		}
		all := p.Inputs()
		if len(all) < 100 {
			t.Errorf("%s: %d inputs", dir, len(all))
		}
		seen := map[string]bool{}
		var puts []Put
		for i := range all {
			in := &all[i]
			if seen[in.Path] || !in.Leaf.Set() {
				t.Errorf("%s: twice, or not set", in.Path)
			}
			seen[in.Path] = true
			puts = append(puts, Put{Path: in.Path, Source: in.Written(in.Value)})
		}
		laid, err := f.Lay("", puts...)
		if err != nil {
			t.Fatal(err)
		}
		for i, now := range laid.Inputs() {
			was := all[i]
			if now.Path != was.Path || now.Value != was.Value || now.Spread != quantity.Exact || now.Drift != was.Drift || now.after != was.after || now.Dim != was.Dim {
				t.Errorf("%s: %s became %s", was.Path, was.Quantity, now.Quantity)
			}
			if !now.Min.Open && now.Value < now.Min.At || !now.Max.Open && now.Value > now.Max.At {
				t.Errorf("%s: %v is outside %v, %v", now.Path, now.Value, now.Min, now.Max)
			}
		}
	}
}

func TestLayKeepsTheVariant(t *testing.T) {
	f, err := Read("testdata/alder-12")
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range f.Variants {
		p, err := f.Lay(v.Name, Put{Path: "product.sense.bits", Source: "11"})
		if err != nil {
			t.Fatal(err)
		}
		was, _ := f.Resolve(v.Name)
		if p.Variant != v.Name || p.Revision.Text != was.Revision.Text || p.Sense.Bits.N != 11 || was.Sense.Bits.N == 11 {
			t.Errorf("%s: %d bits, variant %q", v.Name, p.Sense.Bits.N, p.Variant)
		}
	}
}

func TestLayRefuses(t *testing.T) {
	f, err := Read("testdata/alder-12")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ variant, path, source, want string }{
		{"", "product.sense.bits", "99", "tried:1:9: product.sense.bits: \"99\": out of range; want at least 1 and at most 24"},
		{"", "product.sense.botom", `"10 kΩ"`, "did you mean bottom"},
		{"", "prodct.sense.bits", "10", "did you mean product"},
		{"", "product.sense.top", `"10 V"`, "a voltage"},
		{"", "product.sense.top", "10 kΩ", "is no value of TOML"},
		{"no-such", "product.sense.bits", "10", "there is no such variant"},
	} {
		if _, err := f.Lay(c.variant, Put{Path: c.path, Source: c.source}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s = %s: %v; want %s", c.path, c.source, err, c.want)
		}
	}
}

func BenchmarkLay(b *testing.B) {
	f, err := Read("../../demo/osier-24")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := f.Lay("", Put{Path: "product.sense.top", Source: `"110 kΩ"`}); err != nil {
			b.Fatal(err)
		}
	}
}
