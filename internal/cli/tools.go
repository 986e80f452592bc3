package cli

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"hindwatt/internal/calc"
	"hindwatt/internal/dossier"
	"hindwatt/internal/hindsight/compare"
	"hindwatt/internal/hindsight/life"
	"hindwatt/internal/product"
	"hindwatt/internal/promise"
	"hindwatt/internal/promise/kept"
	"hindwatt/internal/reference"
)

type recordVerb struct {
	where
	Kind   string   `arg:"" help:"made, sold, returned, spent, hours or reading."`
	Fields []string `arg:"" optional:"" name:"k=v" help:"The columns: what=setpoint.float value=\"27.34 V\"; date is today if it is not given."`
}

func (v *recordVerb) Run(w *world) error {
	var fields []product.Field
	dated, note := false, ""
	for _, f := range v.Fields {
		key, value, ok := strings.Cut(f, "=")
		if !ok || key == "" {
			return fmt.Errorf("%q: want column=value, such as value=\"27.34 V\"", f)
		}
		fields = append(fields, product.Field{Column: key, Text: value})
		dated = dated || key == "date"
		if v.Kind == "reading" && key == "what" {
			var err error
			if note, err = promise.Readable(value); err != nil {
				return err
			}
		}
	}
	if !dated {
		fields = append(fields, product.Field{Column: "date", Text: time.Now().Format(time.DateOnly)})
	}
	if v.Kind == "made" {
		return w.made(v.In, fields)
	}
	done, err := product.Record(v.In, v.Kind, fields)
	if err != nil {
		return err
	}
	fmt.Fprintf(w.out, "recorded in %s:%d\n", done.File, done.Line)
	for _, n := range []string{note, done.Note} {
		if n != "" {
			fmt.Fprintln(w.err, "note: "+n)
		}
	}
	return nil
}

type publishVerb struct {
	laid
	Out       string   `name:"out" required:"" placeholder:"DIR" help:"The folder to write index.html into."`
	WhatMoves []string `placeholder:"FIGURE" help:"Add what moves a figure, as sensitivity tells it, such as rating.current; as often as there are figures."`
	Compare   bool     `help:"Add the product beside its variants and revisions, as compare tells it."`
	Hindsight bool     `help:"Add what variants and changes would have brought, as hindsight tells it."`
}

func (v *publishVerb) Run(w *world) error {
	p, err := v.product()
	if err != nil {
		return err
	}
	report, err := promise.Check(w.ctx, p, v.options())
	if err != nil {
		return err
	}
	for i, figure := range v.WhatMoves {
		if slices.Contains(v.WhatMoves[:i], figure) {
			continue
		}
		r, err := v.moves(w, figure, "", 0)
		if err != nil {
			return err
		}
		report.Pages = append(report.Pages, r.Page())
	}
	if v.Compare {
		r, err := compare.Of(w.ctx, compare.Asked{Folder: p.Folder, Seed: v.Seed, Kept: kept.Open(v.In)})
		if err != nil {
			return err
		}
		report.Pages = append(report.Pages, r.Page())
	}
	if v.Hindsight {
		r, err := life.Of(w.ctx, life.Asked{Folder: p.Folder, Seed: v.Seed, Kept: kept.Open(v.In)})
		if err != nil {
			return err
		}
		report.Pages = append(report.Pages, r.Page(nil))
	}
	path, err := dossier.Write(report, v.Out, report.Foot(v.Seed))
	if err != nil {
		return err
	}
	w.notes(slices.Concat(report.Rows, report.Warnings))
	fmt.Fprintln(w.out, path)
	fmt.Fprintln(w.out, report.Tally())
	return report.Failed()
}

type calcVerb struct {
	Name   string   `arg:"" optional:"" help:"The calculator; without it, the list."`
	Fields []string `arg:"" optional:"" name:"k=v" help:"Its inputs; without any, what it wants."`
	JSON   bool     `name:"json" help:"Print one JSON object and nothing else."`
	Seed   uint64   `placeholder:"N" default:"1" help:"Seed of random draws."`
}

func (v *calcVerb) Run(w *world) error {
	if v.Name == "" {
		return calc.WriteList(w.out, w.screen.width)
	}
	if len(v.Fields) == 0 && !v.JSON {
		c, err := calc.Find(v.Name)
		if err != nil {
			return err
		}
		return c.Help(w.out, w.screen.width)
	}
	output, err := calc.Run(w.ctx, v.Name, v.Fields, calc.Options{Seed: v.Seed})
	if err != nil {
		return err
	}
	if v.JSON {
		for _, warning := range output.Warnings {
			fmt.Fprintln(w.err, "warning: "+warning)
		}
		fmt.Fprintf(w.out, "%s\n", output.JSON())
	} else if err := output.Text(w.out, w.screen.width); err != nil {
		return err
	}
	if !output.Complete() {
		return code(exitBad)
	}
	return nil
}

type selftestVerb struct {
	JSON bool `name:"json" help:"Print one JSON object and nothing else."`
}

func (v *selftestVerb) Run(w *world) error {
	outcomes, err := reference.Run(w.ctx, nil)
	if err != nil {
		return err
	}
	if v.JSON {
		fmt.Fprintf(w.out, "%s\n", reference.JSON(outcomes))
	} else if err := reference.WriteText(w.out, outcomes, w.screen.width); err != nil {
		return err
	}
	if reference.Missed(outcomes) > 0 {
		return code(exitBad)
	}
	return nil
}
