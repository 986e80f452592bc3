package cli

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"runtime"
	"strconv"
	"time"

	"hindwatt/internal/dossier"
	"hindwatt/internal/hindsight/grid"
	"hindwatt/internal/product"
)

// From how many points on, or for how long a computation, a grid is asked for first, and from how many on that time is looked for.
const (
	askPoints   = 1_000_000
	askTime     = time.Hour
	guessPoints = 10_000
)

type gridVerb struct {
	where
	File   string `arg:"" help:"What to compute: a file of TOML, see docs/verbs.md."`
	Out    string `placeholder:"FILE.csv" help:"Write the rows there; else to standard output."`
	Seed   uint64 `placeholder:"N" default:"1" help:"Seed of all random draws, where the file names none."`
	Yes    bool   `help:"Begin, however long it takes."`
	Afresh bool   `help:"Start over, and drop the rows that were computed before."`
}

func (v *gridVerb) Run(w *world) error {
	folder, err := product.Read(v.In)
	if err != nil {
		return err
	}
	g, err := grid.Read(w.ctx, folder, v.File, v.Seed)
	if err != nil {
		return err
	}
	for _, taken := range []string{v.File, g.RowsFile()} {
		if v.Out != "" && filepath.Clean(v.Out) == filepath.Clean(taken) {
			return fmt.Errorf("--out %s: is the grid's own; want another file", v.Out)
		}
	}
	run, err := g.Open(v.Afresh)
	if err != nil {
		return err
	}
	defer run.Close()
	if err := v.permitted(w, g, run); err != nil {
		return err
	}
	if done := run.Done(); done > 0 && done < g.Points() {
		fmt.Fprintf(w.err, "goes on: %s of %s are in %s\n", grouped(done), points(g.Points()), g.RowsFile())
	}
	if err := run.Compute(w.ctx); err != nil {
		if w.ctx.Err() != nil {
			fmt.Fprintf(w.err, "%s of %s are kept in %s; the same command goes on\n", grouped(run.Done()), points(g.Points()), g.RowsFile())
		}
		return err
	}
	if v.Out == "" {
		return run.CSV(w.out)
	}
	var rows bytes.Buffer
	if err := run.CSV(&rows); err != nil {
		return err
	}
	if err := dossier.Replace(v.Out, rows.Bytes()); err != nil {
		return err
	}
	fmt.Fprintf(w.err, "%s written to %s\n", points(g.Points()), v.Out)
	return nil
}

// permitted asks before a computation that takes long.
func (v *gridVerb) permitted(w *world, g *grid.Grid, run *grid.Run) error {
	left := g.Points() - run.Done()
	if v.Yes || left < guessPoints {
		return nil
	}
	long, err := run.Estimate(w.ctx)
	if err != nil {
		return err
	}
	if g.Points() < askPoints && long < askTime {
		return nil
	}
	says := fmt.Sprintf("%s: %s are to be computed, about %s on %s", v.File, points(left), lasting(long), counted(runtime.GOMAXPROCS(0), "core", "cores"))
	if w.agreedTo(w.err, says+".\nBegin? [y/N] ") {
		return nil
	}
	return errors.New(says + "; begin with --yes, or ask for less")
}

func points(n int) string {
	if n == 1 {
		return "1 point"
	}
	return grouped(n) + " points"
}

// grouped writes a number in groups of three digits.
func grouped(n int) string {
	text := strconv.Itoa(n)
	for at := len(text) - 3; at > 0; at -= 3 {
		text = text[:at] + " " + text[at:]
	}
	return text
}

// lasting words how long something takes, in two digits or so.
func lasting(d time.Duration) string {
	switch {
	case d < 2*time.Minute:
		return fmt.Sprintf("%.0f s", max(d.Seconds(), 1))
	case d < 2*time.Hour:
		return fmt.Sprintf("%.0f min", d.Minutes())
	case d < 48*time.Hour:
		return fmt.Sprintf("%.0f h", d.Hours())
	}
	return fmt.Sprintf("%.0f days", d.Hours()/24)
}
