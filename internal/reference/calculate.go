package reference

import (
	"context"
	"fmt"
	"io/fs"
	"strconv"

	"hindwatt/internal/calc"
)

// seed of all random draws of the checks.
const seed = 1

// calculate makes one call of a calculator and returns its results in their units.
func calculate(ctx context.Context, name string, args ...string) (answers, error) {
	files, err := fs.Sub(testdata, "testdata")
	if err != nil {
		return nil, err
	}
	o, err := calc.Run(ctx, name, args, calc.Options{Seed: seed, Files: files})
	if err != nil {
		return nil, err
	}
	a := answers{}
	for _, f := range o.Results {
		if v, _, ok := o.Value(f.Key); ok {
			a[f.Key] = v
		}
	}
	return a, nil
}

// arg writes a key and a number as a calculator takes them.
func arg(key string, value float64, unit string) string {
	return key + "=" + plain(value) + unit
}

func plain(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

// withSD writes a key with a normal distribution.
func withSD(key string, value, sd float64, unit string) string {
	return fmt.Sprintf("%s=%s%s sd %s%s", key, plain(value), unit, plain(sd), unit)
}

// within writes a key with a rectangular distribution.
func within(key string, value, half float64, unit string) string {
	return fmt.Sprintf("%s=%s%s ±%s%s", key, plain(value), unit, plain(half), unit)
}
