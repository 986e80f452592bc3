package charge

import (
	"context"

	"hindwatt/internal/numeric"
	"hindwatt/internal/physics/sun/weather"
	"hindwatt/internal/study/charge/year"
)

// A peaks tabulates the panel's maximum power over sun and cell temperature, W; straight between [CH10].
type peaks [sunSteps + 1][cellSteps + 1]float64

// The grid: up to 1600 W/m² by 10, and -50 °C to 100 °C by 10 K; straight between its points it errs by less than 0.2 % of the power in full sun.
const (
	sunSteps, sunStep   = 160, 10.0
	cellSteps, cellStep = 15, 10.0
	cellFirst           = zero - 50
)

func (m *model) peaks() *peaks {
	p := m.panel
	p.Soiling = min(0.999, max(0, drawn(m.in.Panel.Soiling, m.in.nominal().soiling, 0)))
	t := new(peaks)
	for i := 1; i <= sunSteps; i++ {
		for k := range t[i] {
			_, _, t[i][k] = p.At(float64(i)*sunStep, cellFirst+float64(k)*cellStep).MaximumPower()
		}
	}
	return t
}

// at returns the power at a sun in W/m² and a cell temperature in K; beyond the grid it stays.
func (t *peaks) at(sun, cell float64) float64 {
	part := func(x float64, steps int) (int, float64) {
		x = min(max(x, 0), float64(steps))
		i := min(int(x), steps-1)
		return i, x - float64(i)
	}
	i, a := part(sun/sunStep, sunSteps)
	k, b := part((cell-cellFirst)/cellStep, cellSteps)
	low := t[i][k] + float64(b*(t[i][k+1]-t[i][k]))
	high := t[i+1][k] + float64(b*(t[i+1][k+1]-t[i+1][k]))
	return low + float64(a*(high-low))
}

// peakEnergy is what the panel would give at its maximum power in the years that are shown, J, mean of them.
func (m *model) peakEnergy(ctx context.Context) (float64, error) {
	t, sums := m.peaks(), make([]float64, shownYears)
	err := numeric.Parallel(ctx, shownYears, func(n int) error {
		room := weather.NewMinutes()
		room.Global, room.Diffuse = nil, nil
		s := &sky{year: m.weather.Year(m.in.Seed, n, m.plane), day: room, minutes: make([]year.Minute, minutes)}
		for d := range days {
			s.advance(m, (m.first+d)%days)
			for i := range s.minutes {
				if x := &s.minutes[i]; x.Sun > 0 {
					sums[n] += t.at(x.Sun, x.Cell) * year.Step
				}
			}
			if ctx.Err() != nil {
				return ctx.Err()
			}
		}
		return nil
	})
	sum := 0.0
	for _, v := range sums {
		sum += v
	}
	return sum / shownYears, err
}
