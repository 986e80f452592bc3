package cli

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/promise"
	"hindwatt/internal/promise/kept"
)

// where names the folder that a verb works on.
type where struct {
	In string `name:"in" placeholder:"DIR" default:"." help:"The product folder; default: the working folder."`
}

// laid is a product as a verb asks for it.
type laid struct {
	where
	Variant string `placeholder:"V" help:"Lay this variant or revision over the product."`
	Seed    uint64 `placeholder:"N" default:"1" help:"Seed of all random draws; the same seed gives the same digits."`
}

// options are those that the product as it is laid out asks for; results are kept in its folder.
func (l laid) options() promise.Options {
	return promise.Options{Seed: l.Seed, Kept: kept.Open(l.In)}
}

func (l laid) product() (*product.Product, error) {
	folder, err := product.Read(l.In)
	if err != nil {
		return nil, err
	}
	return folder.Resolve(l.Variant)
}

type checkVerb struct {
	laid
	Strict bool `help:"Exit with 1 on unproven and no evidence too."`
	JSON   bool `name:"json" help:"Print one JSON object and nothing else."`
}

func (v *checkVerb) Run(w *world) error {
	p, err := v.product()
	if err != nil {
		return err
	}
	options := v.options()
	options.VerdictsOnly = true
	report, err := promise.Check(w.ctx, p, options)
	if err != nil {
		return err
	}
	return w.check(report, v.JSON, v.Strict)
}

// check prints the verdicts and returns the exit code that they call for.
func (w *world) check(report *promise.Report, asJSON, strict bool) error {
	if asJSON {
		text, err := report.JSON()
		if err != nil {
			return err
		}
		w.notes(slices.Concat(report.Rows, report.Warnings))
		fmt.Fprintf(w.out, "%s\n", text)
	} else {
		if err := report.Site().Text(w.out, w.screen.width, w.screen.style); err != nil {
			return err
		}
	}
	count := report.Count()
	switch {
	case report.Failed() != nil:
		return report.Failed()
	case count[promise.NotMet] > 0, strict && count[promise.Unproven]+count[promise.NoEvidence] > 0:
		return code(exitBad)
	}
	return nil
}

// notes writes warnings to standard error.
func (w *world) notes(notes []page.Note) {
	for _, n := range notes {
		line := "warning: " + n.Text
		if n.Remedy != "" {
			line += "; " + n.Remedy
		}
		fmt.Fprintln(w.err, line)
	}
}

type studyVerb struct {
	laid
	Name         string `arg:"" optional:"" help:"The study; without it, the list."`
	Installation string `placeholder:"I" help:"Answer for this installation: its panel, leads, battery and place."`
	MeanYear     bool   `help:"Charge study: let every year meet the means of its months, so that weather does not vary from year to year."`
	Depth        int    `placeholder:"N" default:"1" help:"Fault study: 2 follows every mistake after every other and after every failure of a part as well."`
	JSON         bool   `name:"json" help:"Print one JSON object and nothing else."`
}

func (v *studyVerb) Run(w *world) error {
	if v.MeanYear && v.Name != "charge" {
		return errors.New("--mean-year: no other study draws years of weather; want it with hindwatt study charge, or leave it out")
	}
	if v.Depth != 1 && (v.Depth != 2 || v.Name != "fault") {
		return fmt.Errorf("--depth %d: want 1, or 2 with hindwatt study fault", v.Depth)
	}
	if v.Name == "" {
		for _, s := range promise.Studies() {
			fmt.Fprintf(w.out, "%-12s %s\n", s[0], s[1])
		}
		return nil
	}
	p, err := v.product()
	if err != nil {
		return err
	}
	if v.Installation != "" && p.Installations.Get(v.Installation) == nil {
		return fmt.Errorf("installations: there is no %q; want one of: %s", v.Installation, strings.Join(p.Installations.Names(), ", "))
	}
	options := v.options()
	options.Installation, options.MeanYear, options.Depth = v.Installation, v.MeanYear, v.Depth
	answer, err := promise.Study(w.ctx, p, v.Name, options)
	if err != nil {
		return err
	}
	if v.JSON {
		text, err := answer.JSON()
		if err != nil {
			return err
		}
		fmt.Fprintf(w.out, "%s\n", text)
	} else {
		for _, page := range answer.Pages {
			if err := page.Text(w.out, w.screen.width, w.screen.style); err != nil {
				return err
			}
		}
	}
	if answer.Empty() {
		return code(exitInput)
	}
	return nil
}
