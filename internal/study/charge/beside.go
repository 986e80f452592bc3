package charge

import "context"

// shownYears is how many years of weather are run again for what is laid side by side on the page.
const shownYears = 4

// beside holds the same years with other systems.
type beside struct {
	own, low, high, bare []Year // as written; at either end of the setpoint's spread; without a controller
}

// beside runs the nominal unit, both ends of the setpoint's spread, and the panel straight on the battery through the same years.
func (r *Result) beside(ctx context.Context) (*beside, error) {
	m := r.model
	nominal := r.Input.nominal()
	low, high := nominal, nominal
	if e := r.Input.Regulation.Error; e != nil {
		low.error, high.error = e.Quantity.Low, e.Quantity.High
	}
	var tasks []task
	for n := range shownYears {
		tasks = append(tasks, task{year: n, unit: nominal, keep: n == 0}, task{year: n, unit: low}, task{year: n, unit: high},
			task{year: n, unit: nominal, change: change{none: true}})
	}
	years, err := m.run(ctx, tasks)
	if err != nil {
		return nil, err
	}
	b := &beside{}
	for i := 0; i < len(years); i += side {
		b.own, b.low, b.high, b.bare = append(b.own, years[i]), append(b.low, years[i+1]), append(b.high, years[i+2]), append(b.bare, years[i+3])
	}
	return b, nil
}
