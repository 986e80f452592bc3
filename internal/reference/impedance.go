package reference

import (
	"context"
	"encoding/csv"
	"math"
	"path"
	"strconv"

	"gonum.org/v1/gonum/stat"
)

func init() { solve(from(impedance), "H2") }

// impedance computes JCGM 100 H.2: means of simultaneous readings, their correlations, and three
// figures from them.
func impedance(ctx context.Context, in struct{ File string }) (answers, error) {
	columns, err := readColumns(in.File)
	if err != nil {
		return nil, err
	}
	names, units := []string{"V", "I", "phi"}, []string{" V", " mA", " rad"}
	a := answers{}
	for i, name := range names {
		a[name] = stat.Mean(columns[i], nil)
		a["u_"+name] = stat.StdDev(columns[i], nil) / math.Sqrt(float64(len(columns[i]))) // JCGM 100 eq. 5
		for j := range i {
			a["r_"+names[j]+"_"+name] = stat.Correlation(columns[j], columns[i], nil)
		}
	}
	for _, f := range []struct {
		result, formula string
		uses            int // the first so many names
	}{{"R", "V/I*cos(phi)", 3}, {"X", "V/I*sin(phi)", 3}, {"Z", "V/I", 2}} {
		args := []string{"y=" + f.formula, "samples=10000"}
		for i, name := range names[:f.uses] {
			args = append(args, withSD(name, a[name], a["u_"+name], units[i]), arg("dof."+name, float64(len(columns[i])-1), ""))
			for _, other := range names[:i] {
				args = append(args, arg("corr."+other+"."+name, a["r_"+other+"_"+name], ""))
			}
		}
		got, err := calculate(ctx, "uncertainty", args...)
		if err != nil {
			return nil, err
		}
		a[f.result], a["u_"+f.result] = got["value"], got["u"]
	}
	return a, nil
}

// readColumns returns the columns of an embedded file of numbers below one line of headings.
func readColumns(file string) ([][]float64, error) {
	f, err := testdata.Open(path.Join("testdata", file))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, err
	}
	columns := make([][]float64, len(rows[0]))
	for _, row := range rows[1:] {
		for i, cell := range row {
			x, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				return nil, err
			}
			columns[i] = append(columns[i], x)
		}
	}
	return columns, nil
}
