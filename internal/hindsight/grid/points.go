package grid

import (
	"strconv"

	"hindwatt/internal/hindsight/figures"
	"hindwatt/internal/product"
	"hindwatt/internal/statistics/sensitivity"
)

// A point is one place of the grid.
type point struct {
	variant, installation string
	values                []float64 // of the inputs, in their units
	chosen                []int     // which value of its list each is; -1 of the hypercube
}

// points tells what stands at a place.
type points struct {
	grid   *Grid
	spread [][]float64 // by sample, then by input of the hypercube
}

func (g *Grid) points() *points {
	p := &points{grid: g}
	ranges := 0
	for _, in := range g.Inputs {
		if len(in.Values) == 0 {
			ranges++
		}
	}
	if g.Samples > 0 {
		p.spread = sensitivity.LatinHypercube(g.Samples, ranges, g.Seed)
	}
	return p
}

// at returns a point: the last input changes fastest, then those before it, the sample, the installation and the variant.
func (p *points) at(i int) point {
	g := p.grid
	out := point{values: make([]float64, len(g.Inputs)), chosen: make([]int, len(g.Inputs))}
	for k := len(g.Inputs) - 1; k >= 0; k-- {
		out.chosen[k] = -1
		if n := len(g.Inputs[k].Values); n > 0 {
			out.chosen[k] = i % n
			out.values[k] = g.Inputs[k].Values[i%n]
			i /= n
		}
	}
	if g.Samples > 0 {
		sample := p.spread[i%g.Samples]
		i /= g.Samples
		at := 0
		for k, in := range g.Inputs {
			if len(in.Values) == 0 {
				out.values[k] = tidy(in.Low + (in.High-in.Low)*sample[at])
				at++
			}
		}
	}
	out.installation = g.Installations[i%len(g.Installations)]
	out.variant = g.Variants[i/len(g.Installations)]
	return out
}

// product is the product at a point.
func (g *Grid) product(at point) (figures.Setup, *product.Product, error) {
	setup := figures.Setup{Folder: g.folder, Variant: at.variant, Installation: at.installation, Seed: g.Seed}
	puts := make([]product.Put, len(g.Inputs))
	for k := range g.Inputs {
		in := &g.Inputs[k]
		puts[k] = product.Put{Path: in.Path}
		if c := at.chosen[k]; c >= 0 && in.texts != nil {
			puts[k].At = in.texts[c]
			continue
		}
		puts[k].Source = in.written(at.values[k])
	}
	p, err := setup.Product(puts...)
	return setup, p, err
}

// written is a number in the input's unit, as [set] of a variant would have it.
func (in *Input) written(v float64) string {
	if in.Whole {
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return in.is.Written(figures.SI(v, in.is.Dim, in.Unit))
}
