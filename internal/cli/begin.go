package cli

import (
	"fmt"
	"path/filepath"

	"hindwatt/demo"
	"hindwatt/internal/dossier"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/promise"
	"hindwatt/internal/promise/kept"
	"hindwatt/internal/starter"
)

type demoVerb struct {
	Dir string `arg:"" optional:"" default:"osier-24" help:"Where to write it; default: osier-24."`
}

func (v *demoVerb) Run(w *world) error {
	if err := demo.Write(v.Dir); err != nil {
		return err
	}
	folder, err := product.Read(v.Dir)
	if err != nil {
		return err
	}
	p, err := folder.Resolve("")
	if err != nil {
		return err
	}
	report, err := promise.Check(w.ctx, p, promise.Options{Seed: 1, Kept: kept.Open(v.Dir)})
	if err != nil {
		return err
	}
	if err := report.Site().Text(w.out, w.screen.width, w.screen.style); err != nil {
		return err
	}
	path, err := dossier.Write(report, filepath.Join(v.Dir, "dossier"), report.Foot(1))
	if err != nil {
		return err
	}
	fmt.Fprintf(w.out, "\nThe product folder is %s; all of it is invented. The dossier page is %s: open it in a browser.\n", v.Dir, path)
	fmt.Fprintf(w.out, `
Next:
  hindwatt study setpoint --in %[1]s      one question in full
  hindwatt study accounts --in %[1]s      did it pay?
  hindwatt check --in %[1]s --variant rev-a
  open %[1]s/product.toml in an editor, change a tolerance under [sense], and: hindwatt check --in %[1]s
  hindwatt new my-controller              a folder of your own, from eight questions
`, v.Dir)
	if changed, err := demo.Changed(v.Dir); err == nil && len(changed) > 0 {
		fmt.Fprintf(w.err, "note: %v differ from the example and were left as they are\n", changed)
	}
	return report.Failed()
}

type newVerb struct {
	Dir       string `arg:"" help:"The folder to start."`
	Name      string `help:"Name of the product; default: the folder's."`
	Price     string `placeholder:"Q" help:"Price of one: \"34 EUR\", \"30..40 EUR\"."`
	Parts     string `placeholder:"Q" help:"Cost of the parts of one."`
	Minutes   string `placeholder:"Q" help:"Work on one: \"25..40 min\"."`
	SoldFrom  string `placeholder:"DATE" help:"Sold from: 2021, 2021-05 or a day."`
	SoldUntil string `placeholder:"DATE" help:"Sold until."`
	Sold      string `placeholder:"N" help:"About how many were sold: 310, 900..1300."`
	CameBack  string `placeholder:"N" help:"About how many came back."`
	Spent     string `placeholder:"Q" help:"Money spent otherwise."`
	Voltage   string `placeholder:"Q" help:"Nominal voltage."`
	Current   string `placeholder:"Q" help:"Current of the label."`
	Circuit   string `placeholder:"NAME" help:"series-negative, series-negative-lead, series-positive, shunt or back-to-back."`
	Quiet     bool   `help:"Ask nothing; what is not given stays empty."`
}

func (v *newVerb) Run(w *world) error {
	answers := starter.Answers{
		Price: v.Price, PartsCost: v.Parts, Minutes: v.Minutes, SoldFrom: v.SoldFrom, SoldUntil: v.SoldUntil, Sold: v.Sold,
		CameBack: v.CameBack, SpentOtherwise: v.Spent, Voltage: v.Voltage, Current: v.Current, Circuit: v.Circuit, Name: v.Name,
	}
	if !v.Quiet {
		var err error
		if answers, err = ask(w, answers); err != nil {
			return err
		}
	}
	report, err := starter.Write(v.Dir, answers)
	if err != nil {
		return err
	}
	fmt.Fprint(w.out, report.String())
	folder, err := product.Read(v.Dir)
	if err != nil {
		return err
	}
	p, err := folder.Resolve("")
	if err != nil {
		return err
	}
	checked, err := promise.Check(w.ctx, p, promise.Options{Seed: 1, VerdictsOnly: true, Kept: kept.Open(v.Dir)})
	if err != nil {
		return err
	}
	fmt.Fprintf(w.out, "\nWhat it answers already, from what you said and from typical values (hindwatt check --in %s):\n  %s\n", v.Dir, checked.Tally())
	if err := w.answers(p); err != nil {
		return err
	}
	if open := promise.Unbuilt(); len(open) > 0 {
		fmt.Fprintln(w.out, "\nWhat this version cannot answer yet, whatever the folder holds; the answers you gave are kept in it:")
		for _, question := range open {
			fmt.Fprintln(w.out, "  "+question)
		}
	}
	return nil
}

// answers prints each question that the folder answers with the answer's first sentence.
func (w *world) answers(p *product.Product) error {
	for _, study := range promise.Studies() {
		answer, err := promise.Study(w.ctx, p, study[0], promise.Options{Seed: 1, Kept: kept.Open(p.Folder.Dir)})
		if err != nil {
			return err
		}
		if answer.Empty() || len(answer.Pages) == 0 || len(answer.Pages[0].Answer) == 0 {
			continue
		}
		said := page.Page{Question: study[1], Answer: answer.Pages[0].Answer[:1]}
		if err := said.Text(w.out, w.screen.width, w.screen.style); err != nil {
			return err
		}
	}
	return nil
}

// ask puts the questions, and stops at once when it is interrupted, even while it waits for a line.
func ask(w *world, known starter.Answers) (starter.Answers, error) {
	type reply struct {
		answers starter.Answers
		err     error
	}
	done := make(chan reply, 1)
	go func() {
		answers, err := starter.Ask(w.in, w.out, known)
		done <- reply{answers, err}
	}()
	select {
	case r := <-done:
		return r.answers, r.err
	case <-w.ctx.Done():
		return known, w.ctx.Err()
	}
}
