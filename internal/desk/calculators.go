package desk

import (
	"bytes"
	"errors"
	"net/http"
	"os"
	"strings"

	"hindwatt/internal/calc"
)

// calculatorInput is one input of a calculator with what was typed.
type calculatorInput struct {
	calc.Input
	Typed string
	Wrong []string
}

// calculatorPage lists the calculators, or shows one of them.
type calculatorPage struct {
	Frame    frame
	List     []calc.Calculator
	One      *calc.Calculator
	Inputs   []calculatorInput
	Free     string // the inputs that have no fields of their own, one a line
	Said     string // what came out, with formula and source
	Wrong    []string
	Complete bool
}

// resultWidth is that of a result's lines, in characters.
const resultWidth = 76

// calculators shows the drawer of small calculators. What is asked is in the address, so that a
// calculation can be kept as a bookmark.
func (d *Desk) calculators(w http.ResponseWriter, r *http.Request, f frame) {
	f.Title = "Calculators"
	p := calculatorPage{Frame: f, List: calc.List()}
	q := r.URL.Query()
	name := q.Get("calc")
	if name == "" {
		d.show(w, http.StatusOK, "calculators", p)
		return
	}
	one, err := calc.Find(name)
	if err != nil {
		p.Wrong = []string{err.Error()}
		d.show(w, http.StatusNotFound, "calculators", p)
		return
	}
	p.One, p.List, p.Frame.Title = &one, nil, one.Question
	var typed []string
	for _, in := range one.Inputs {
		text := strings.TrimSpace(q.Get("in." + in.Name))
		p.Inputs = append(p.Inputs, calculatorInput{Input: in, Typed: text})
		if text != "" {
			typed = append(typed, in.Name+"="+text)
		}
	}
	if one.Free != nil {
		p.Free = q.Get("free")
		for _, line := range strings.Split(p.Free, "\n") {
			if line = strings.TrimSpace(line); line != "" {
				typed = append(typed, line)
			}
		}
	}
	status := http.StatusOK
	if len(typed) > 0 && !p.compute(r, d, typed) {
		status = http.StatusUnprocessableEntity
	}
	d.show(w, status, "calculators", p)
}

// compute makes the calculation; false if what was typed is at fault. Files are those of the
// product folder.
func (p *calculatorPage) compute(r *http.Request, d *Desk, typed []string) bool {
	root, err := os.OpenRoot(d.sight.folder())
	if err != nil {
		p.Wrong = []string{err.Error()}
		return false
	}
	defer root.Close()
	out, err := calc.Run(r.Context(), p.One.Name, typed, calc.Options{Seed: d.options.Seed, Files: root.FS()})
	var faults calc.Errors
	switch {
	case errors.As(err, &faults):
		p.place(faults)
		return false
	case err != nil:
		p.Wrong = []string{err.Error()}
		return false
	}
	var text bytes.Buffer
	if err := out.Text(&text, resultWidth); err != nil {
		p.Wrong = []string{err.Error()}
		return false
	}
	p.Said, p.Complete = text.String(), out.Complete()
	return true
}

// place puts each fault at its input.
func (p *calculatorPage) place(faults calc.Errors) {
	for _, e := range faults {
		said := e.Problem
		for _, more := range []string{e.Want, e.Hint} {
			if more != "" {
				said += "; " + more
			}
		}
		placed := false
		for i := range p.Inputs {
			if p.Inputs[i].Name == e.Key {
				p.Inputs[i].Wrong = append(p.Inputs[i].Wrong, said)
				placed = true
			}
		}
		if !placed {
			if e.Key != "" {
				said = e.Key + ": " + said
			}
			p.Wrong = append(p.Wrong, said)
		}
	}
}
