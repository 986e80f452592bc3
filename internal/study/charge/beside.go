package charge

import (
	"context"

	"hindwatt/internal/physics/battery"
)

// shownYears is how many years of weather are run again for what is laid side by side on the page.
const shownYears = 4

// beside holds the same years with other systems.
type beside struct {
	own, low, high, stuck, bare []Year  // as written; at either end of the setpoint's spread; its switch stuck on; without a controller
	cold                        []Year  // of lithium cells whose protection does not know the cold; else nil
	peak                        float64 // J, what the panel would give at its maximum power, mean of the years
}

// beside runs the nominal unit, both ends of the setpoint's spread, the switch stuck on, and the panel straight on the battery through the same years.
func (r *Result) beside(ctx context.Context) (*beside, error) {
	m, b := r.model, &beside{}
	nominal := r.Input.nominal()
	low, high := nominal, nominal
	if e := r.Input.Regulation.Error; e != nil {
		low.error, high.error = e.Quantity.Low, e.Quantity.High
	}
	runs := []struct {
		task task
		to   *[]Year
	}{{task{unit: nominal}, &b.own}, {task{unit: low}, &b.low}, {task{unit: high}, &b.high},
		{task{unit: nominal, change: change{stuck: true}}, &b.stuck}, {task{unit: nominal, change: change{none: true}}, &b.bare}}
	if m.cell.Chemistry == battery.LiFePO4 {
		runs = append(runs, struct {
			task task
			to   *[]Year
		}{task{unit: nominal, change: change{cold: true}}, &b.cold})
	}
	var tasks []task
	for n := range shownYears {
		for k, run := range runs {
			run.task.year, run.task.keep = n, n == 0 && k == 0
			tasks = append(tasks, run.task)
		}
	}
	years, err := m.run(ctx, tasks)
	if err != nil {
		return nil, err
	}
	for i := range years {
		to := runs[i%len(runs)].to
		*to = append(*to, years[i])
	}
	b.peak, err = m.peakEnergy(ctx)
	return b, err
}
