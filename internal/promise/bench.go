package promise

import (
	"context"
	"strings"

	"hindwatt/internal/bind"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/product/caution"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/bench"
	"hindwatt/internal/study/setpoint"
)

// judgeBench refuses: what is read on the bench is evidence for the study that a reading names.
func judgeBench(_ context.Context, _ *session, asked *product.Promise, _ *Judged) error {
	return asked.Study.Fault("the bench judges nothing by itself", "want the study that the readings bear on, such as setpoint")
}

// answerBench tells what was read on units of this revision.
func answerBench(ctx context.Context, s *session, _ []Judged) (*Answer, error) {
	shown := bench.Heading()
	out := s.newAnswer("bench")
	in := bind.Setpoint(s.product, s.options.Installation)
	for _, name := range setpoint.Quantities() {
		level, deviation := strings.CutSuffix(name, "-error")
		if !deviation {
			continue
		}
		for _, g := range s.gather(name) {
			from, known := target(in, name, g)
			if !known {
				continue
			}
			r, err := bench.Run(ctx, bench.Input{
				Quantity: strings.ReplaceAll(level, "-", " ") + " off the target", Unit: "V", Readings: g.readings, Target: from,
				Proportion: usualProportion, Confidence: usualConfidence, Seed: s.options.Seed,
			})
			if err != nil {
				return nil, err
			}
			told, err := r.Page()
			if err != nil {
				return nil, err
			}
			shown.Append(strings.ReplaceAll(level, "-", " "), told)
			mean := Interval{r.Mean.Best, r.Mean.Low, r.Mean.High, r.Mean.OpenLow, r.Mean.OpenHigh}
			out.Figures = append(out.Figures, Figure{name + " at " + g.text(), mean, quantity.Voltage, "V"})
		}
	}
	s.tellRuns(&shown, out)
	if err := s.againstModel(ctx, &shown, out); err != nil {
		return nil, err
	}
	if err := s.tellTesting(ctx, &shown); err != nil {
		return nil, err
	}
	if len(out.Figures) == 0 && len(shown.Answer) == 0 {
		shown.Answer = []string{"Nothing was read on a unit of this revision yet."}
		shown.Lacks = []page.Lack{{File: "records/readings.csv", Key: "what, value", Why: "hindwatt record reading what=setpoint.float value=\"27.3 V\" writes one down"}}
	}
	for _, c := range caution.BatteryWork(s.chemistries()) {
		shown.Cautions = append(shown.Cautions, bind.Note(c))
	}
	out.Pages = []page.Page{shown}
	return out, nil
}

func (s *session) chemistries() []string {
	var names []string
	for _, c := range s.product.Chemistry.Items {
		names = append(names, c.Text)
	}
	return names
}
