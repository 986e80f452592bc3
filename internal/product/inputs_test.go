package product

import (
	"math"
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

// A spread that is moved keeps its width, or its share where it is one; a widened one is as many times as wide.
func TestShiftedAndWidened(t *testing.T) {
	f, err := Read("../../demo/osier-24")
	if err != nil {
		t.Fatal(err)
	}
	p, _ := f.Resolve("")
	for _, in := range p.Inputs() {
		low, high, ok := in.Reach()
		if !ok || in.Spread == quantity.Exact {
			continue
		}
		at := low + (high-low)*0.4
		for _, source := range []string{in.Shifted(low), in.Shifted(at), in.Shifted(high), in.Widened(0.5, 1), in.Widened(0, 0)} {
			laid, err := f.Lay("", Put{Path: in.Path, Source: source})
			if err != nil {
				t.Errorf("%s: %v", in.Path, err)
				continue
			}
			for _, now := range laid.Inputs() {
				if now.Path != in.Path {
					continue
				}
				half, was := now.StandardUncertainty(), in.StandardUncertainty()
				want := map[string]float64{in.Shifted(low): was, in.Shifted(at): was, in.Shifted(high): was, in.Widened(0.5, 1): was / 2}[source]
				if in.scales() && now.Value != in.Value {
					want *= now.Value / in.Value
				}
				if math.Abs(half-want) > 1e-9*was {
					t.Errorf("%s: %s became %s: u %v; want %v", in.Path, in.Quantity, now.Quantity, half, want)
				}
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
