// Package figures computes any figure of any study for a product with some of its numbers put otherwise.
//
// A figure is named as it stands in the JSON of a study, behind the study's name: "rating.current", "charge.days-to-full". An input is
// named by the path that [set] of a variant takes: "product.sense.top". Figures are computed coarsely (see promise.Figures), so that
// thousands of points cost seconds; nothing is read from the disk or written.
package figures

import (
	"context"
	"fmt"
	"strings"

	"hindwatt/internal/bind"
	"hindwatt/internal/product"
	"hindwatt/internal/promise"
)

// Name is one figure of one study.
type Name struct{ Study, Quantity string }

// String is "rating.current".
func (n Name) String() string { return n.Study + "." + n.Quantity }

// Setup is what a figure is asked of.
type Setup struct {
	Folder       *product.Folder
	Variant      string // "": product.toml as it is
	Installation string // "": as the studies themselves choose
	Seed         uint64
	Years        int // of the charge study; 0: promise.FigureYears
}

// A Value is a figure as it came out; Known is false where the study cannot have it of this product.
type Value struct {
	promise.Figure
	Known bool
}

// Options are those of the studies.
func (s Setup) Options() promise.Options {
	return promise.Options{Seed: s.Seed, Installation: s.Installation, Years: s.Years}
}

// Product is the product with some values put in the place of its own. The errors are those of product.Folder.Lay; an installation
// that there is not is one as well.
func (s Setup) Product(puts ...product.Put) (*product.Product, error) {
	p, err := s.Folder.Lay(s.Variant, puts...)
	if err == nil && s.Installation != "" && p.Installations.Get(s.Installation) == nil {
		names := p.Installations.Names()
		return nil, unknown("installations", s.Installation, "there is no such installation", s.Installation, names)
	}
	return p, err
}

// Of computes figures of a product, each study once, in the order of the names.
func (s Setup) Of(ctx context.Context, p *product.Product, names ...Name) ([]Value, error) {
	out := make([]Value, len(names))
	done := map[string]bool{}
	for _, n := range names {
		if done[n.Study] {
			continue
		}
		done[n.Study] = true
		var asked []string
		for _, other := range names {
			if other.Study == n.Study {
				asked = append(asked, other.Quantity)
			}
		}
		found, err := promise.Figures(ctx, p, n.Study, asked, s.Options())
		if err != nil {
			return nil, err
		}
		for i, other := range names {
			for _, f := range found {
				if other.Study == n.Study && other.Quantity == f.Name {
					out[i] = Value{f, true}
				}
			}
		}
	}
	return out, nil
}

// Find finds a figure by what somebody wrote; "_" and "-" mean the same. An unknown name is an *product.Error without a place, with
// the nearest known one.
func (s Setup) Find(ctx context.Context, p *product.Product, text string) (Name, error) {
	study, quantity, dotted := strings.Cut(text, ".")
	var studies []string
	for _, one := range promise.Studies() {
		studies = append(studies, one[0])
	}
	if !dotted {
		return s.undotted(ctx, p, text, studies)
	}
	for _, one := range studies {
		if one != study {
			continue
		}
		names, err := promise.FigureNames(ctx, p, study, s.Options())
		if err != nil {
			return Name{}, err
		}
		for _, name := range names {
			if bind.Plain(name) == bind.Plain(quantity) {
				return Name{study, name}, nil
			}
		}
		return Name{}, unknown("", text, "is no figure of the "+study+" study", quantity, names)
	}
	return Name{}, unknown("", text, "there is no such study", study, studies)
}

// undotted offers the studies that have a quantity of this name.
func (s Setup) undotted(ctx context.Context, p *product.Product, text string, studies []string) (Name, error) {
	var with []string
	for _, study := range studies {
		if study == "bench" { // its names are those of runs, and long to find
			continue
		}
		names, err := promise.FigureNames(ctx, p, study, s.Options())
		if err != nil {
			continue // a study that lacks something has no names to offer
		}
		for _, name := range names {
			if bind.Plain(name) == bind.Plain(text) {
				with = append(with, study+"."+name)
			}
		}
	}
	want := "want a study and its figure, such as rating.current"
	if len(with) > 0 {
		want = "did you mean " + strings.Join(with, " or ")
	}
	return Name{}, &product.Error{Value: text, Problem: "names no study", Want: want}
}

// FindInput finds a number of the product by its path. An unknown one is a *product.Error without a place.
func FindInput(p *product.Product, path string) (product.Input, error) {
	all := p.Inputs()
	var paths []string
	for _, in := range all {
		if in.Path == path {
			return in, nil
		}
		paths = append(paths, in.Path)
	}
	return product.Input{}, unknown("", path, "is no number of this product", path, paths)
}

const mostOffered = 12 // names that are listed where none is near

// unknown words a name that there is not.
func unknown(file, value, problem, near string, known []string) *product.Error {
	e := &product.Error{File: file, Value: value, Problem: problem}
	switch is := product.Nearest(near, known); {
	case is != "":
		e.Want = "did you mean " + is
	case len(known) == 0:
		e.Want = "there are none"
	default:
		e.Want = "want one such as " + strings.Join(known[:min(len(known), mostOffered)], ", ")
		if more := len(known) - mostOffered; more > 0 {
			e.Want += fmt.Sprintf(", or one of %d others", more)
		}
	}
	return e
}
