package cli

import (
	"errors"
	"fmt"
	"io"

	"hindwatt/internal/hindsight/figures"
	"hindwatt/internal/hindsight/influence"
	"hindwatt/internal/product"
	"hindwatt/internal/promise/kept"
	"hindwatt/internal/statistics/sensitivity"
)

type sensitivityVerb struct {
	laid
	Figure       string `arg:"" help:"A study and its figure, such as rating.current or charge.days-to-full."`
	Installation string `placeholder:"I" help:"In this installation; else in that of the first promise on the figure."`
	Sobol        int    `placeholder:"N" help:"Shares of the spread by Sobol indices as well, from N rows (64 or more)."`
	JSON         bool   `name:"json" help:"Print one JSON object and nothing else."`
	CSV          bool   `name:"csv" help:"Print the inputs as CSV and nothing else."`
}

func (v *sensitivityVerb) Run(w *world) error {
	switch {
	case v.JSON && v.CSV:
		return errors.New("--json and --csv: want one of the two")
	case v.Sobol != 0 && (v.Sobol < sensitivity.LeastRows || v.Sobol > sensitivity.MostRows):
		return fmt.Errorf("--sobol %d: want %d to %d rows", v.Sobol, sensitivity.LeastRows, sensitivity.MostRows)
	}
	r, err := v.laid.moves(w, v.Figure, v.Installation, v.Sobol)
	if err != nil {
		return err
	}
	switch {
	case v.CSV:
		return r.CSV(w.out)
	case v.JSON:
		return printed(w.out, r.JSON)
	}
	shown := r.Page()
	return shown.Text(w.out, w.screen.width, w.screen.style)
}

// moves says what moves a figure.
func (l laid) moves(w *world, figure, installation string, rows int) (*influence.Result, error) {
	folder, err := product.Read(l.In)
	if err != nil {
		return nil, err
	}
	asked := influence.Asked{Rows: rows, Kept: kept.Open(l.In),
		Setup: figures.Setup{Folder: folder, Variant: l.Variant, Installation: installation, Seed: l.Seed}}
	p, err := asked.Product()
	if err != nil {
		return nil, err
	}
	if asked.Figure, err = asked.Find(w.ctx, p, figure); err != nil {
		return nil, err
	}
	return influence.Of(w.ctx, asked)
}

// printed prints one JSON object.
func printed(to io.Writer, object func() ([]byte, error)) error {
	text, err := object()
	if err == nil {
		fmt.Fprintf(to, "%s\n", text)
	}
	return err
}
