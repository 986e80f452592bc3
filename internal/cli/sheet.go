package cli

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/promise"
)

type sheetVerb struct {
	laid
	Out   string `name:"out" placeholder:"FILE" help:"Write the sheet there: .html to print, with boxes for the readings, or .csv."`
	Units int    `name:"units" placeholder:"N" default:"10" help:"Boxes for so many units on a printed sheet."`
	JSON  bool   `name:"json" help:"Print one JSON object and nothing else."`
}

func (v *sheetVerb) Run(w *world) error {
	if v.Units < 1 || v.Units > 100 {
		return fmt.Errorf("--units=%d: want 1 to 100", v.Units)
	}
	p, err := v.product()
	if err != nil {
		return err
	}
	t, err := promise.Test(w.ctx, p, v.options(), promise.Bench{})
	if err != nil {
		return err
	}
	if v.Out != "" {
		return v.write(w, t)
	}
	if v.JSON {
		text, err := t.JSON()
		if err != nil {
			return err
		}
		fmt.Fprintf(w.out, "%s\n", text)
		return nil
	}
	return t.Page().Text(w.out, w.screen.width, w.screen.style)
}

// write puts the sheet into a file.
func (v *sheetVerb) write(w *world, t *promise.Testing) error {
	if len(t.Sheet.Rows) == 0 {
		if err := t.Page().Text(w.err, w.screen.width, w.screen.style); err != nil {
			return err
		}
		return fmt.Errorf("there is nothing to test, so %s was not written", v.Out)
	}
	t.Sheet.Units = v.Units
	var text bytes.Buffer
	var err error
	switch strings.ToLower(filepath.Ext(v.Out)) {
	case ".html":
		err = t.Sheet.HTML(&text)
	case ".csv":
		err = t.Sheet.CSV(&text)
	default:
		return fmt.Errorf("--out=%s: want a name that ends in .html or .csv", v.Out)
	}
	if err != nil {
		return err
	}
	if err := os.WriteFile(v.Out, text.Bytes(), 0o644); err != nil {
		return err
	}
	w.notes(t.Warnings)
	fmt.Fprintln(w.out, v.Out)
	return nil
}

// made records a unit, and says what its test says.
func (w *world) made(dir string, fields []product.Field) error {
	done, err := promise.RecordMade(w.ctx, dir, fields, 1)
	if err != nil {
		return err
	}
	for _, s := range done.Says {
		fmt.Fprintln(w.out, s)
	}
	if done.Tested {
		fmt.Fprintln(w.out, map[bool]string{true: "pass", false: "fail: it goes back; its readings stay"}[done.Pass])
	}
	for _, r := range done.Recorded {
		fmt.Fprintf(w.out, "recorded in %s:%d\n", r.File, r.Line)
		if r.Note != "" {
			w.notes([]page.Note{{Text: r.Note}})
		}
	}
	w.notes(done.Notes)
	return nil
}
