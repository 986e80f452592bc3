package reference

import (
	"bufio"
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"math"
	"path"
	"strconv"
	"strings"
)

// A table is a file of testdata/tables: a heading of lines "# key: text", then CSV. The heading has
//
//	topic, what, source, status, note
//	calc    the calculator that computes the rows, or
//	function  one of functions
//	result  its result that is compared with the column "want"; or columns "want RESULT"
//	fixed   arguments that are the same in all rows
//
// and the columns are arguments by name, the wanted values, and at will "tol" or "tol RESULT" with a
// tolerance (without one it is half a unit of the last printed digit) and "note" of the row.
type table struct {
	name    string
	heading map[string]string
	columns []string
	rows    [][]string
}

// functions are what tables check where no calculator fits.
var functions = map[string]func(in map[string]float64) (float64, error){}

func tables() []Check {
	files, err := testdata.ReadDir("testdata/tables")
	if err != nil {
		panic(err)
	}
	var checks []Check
	for _, file := range files {
		text, err := testdata.ReadFile(path.Join("testdata/tables", file.Name()))
		if err != nil {
			panic(err)
		}
		t, err := readTable(strings.TrimSuffix(file.Name(), ".csv"), text)
		if err != nil {
			panic("reference: " + file.Name() + ": " + err.Error())
		}
		checks = append(checks, t.checks()...)
	}
	return checks
}

func readTable(name string, text []byte) (table, error) {
	t := table{name: name, heading: map[string]string{}}
	lines := bufio.NewScanner(bytes.NewReader(text))
	var body strings.Builder
	for lines.Scan() {
		head, found := strings.CutPrefix(lines.Text(), "# ")
		if !found {
			body.WriteString(lines.Text() + "\n")
			continue
		}
		key, value, _ := strings.Cut(head, ": ")
		t.heading[key] = strings.TrimSpace(t.heading[key] + " " + value)
	}
	rows, err := csv.NewReader(strings.NewReader(body.String())).ReadAll()
	if err != nil {
		return table{}, err
	}
	if len(rows) < 2 {
		return table{}, fmt.Errorf("no rows")
	}
	t.columns, t.rows = rows[0], rows[1:]
	for _, key := range []string{"topic", "what", "source", "status"} {
		if t.heading[key] == "" {
			return table{}, fmt.Errorf("no %s in the heading", key)
		}
	}
	return t, nil
}

// checks makes one check of each wanted value.
func (t table) checks() []Check {
	var checks []Check
	for i, row := range t.rows {
		var args []string
		if fixed := t.heading["fixed"]; fixed != "" {
			args = strings.Split(fixed, " | ")
		}
		cell := map[string]string{}
		for c, column := range t.columns {
			cell[column] = row[c]
			if word, _, _ := strings.Cut(column, " "); word != "want" && word != "tol" && word != "note" && row[c] != "" {
				args = append(args, column+"="+row[c])
			}
		}
		compute := once(func(ctx context.Context) (answers, error) { return t.compute(ctx, args) })
		for _, column := range t.columns {
			result, wanted := strings.CutPrefix(column, "want")
			if wanted && cell[column] != "" {
				checks = append(checks, t.check(i, strings.TrimSpace(result), cell, args, compute))
			}
		}
	}
	return checks
}

func (t table) check(i int, result string, cell map[string]string, args []string, compute func(context.Context) (answers, error)) Check {
	c := Check{Topic: t.heading["topic"], What: t.heading["what"] + ": " + strings.Join(args, ", "), Source: t.heading["source"],
		Status: t.heading["status"], Note: t.heading["note"], Unit: t.heading["unit"]}
	c.Want, c.Tol = printed(strings.TrimSpace(cell[strings.TrimSpace("want "+result)]))
	for _, column := range []string{"tol", "tol " + result} {
		if cell[column] != "" {
			c.Tol, _ = printed(cell[column])
		}
	}
	if cell["note"] != "" {
		c.Note = cell["note"]
	}
	if result == "" {
		result = t.heading["result"]
	}
	c.ID = fmt.Sprintf("%s-%02d %s", t.name, i+1, result)
	c.Run = pick(c.ID, result, compute)
	return c
}

// printed returns a printed number and half a unit of its last digit, the largest difference that
// rounding explains.
func printed(text string) (value, half float64) {
	value, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic("reference: " + text + " is no number")
	}
	mantissa, exponent, _ := strings.Cut(text, "e")
	power, _ := strconv.Atoi(exponent)
	if _, decimals, point := strings.Cut(mantissa, "."); point {
		power -= len(decimals)
	}
	// the last bits of a value that is printed exactly do not count as a difference
	return value, 0.5*math.Pow(10, float64(power)) + 1e-12*math.Abs(value)
}

// compute returns all results of one row.
func (t table) compute(ctx context.Context, args []string) (answers, error) {
	if name := t.heading["calc"]; name != "" {
		return calculate(ctx, name, args...)
	}
	f, ok := functions[t.heading["function"]]
	if !ok {
		return nil, fmt.Errorf("%s: nothing computes this table", t.name)
	}
	in := map[string]float64{}
	for _, a := range args {
		key, value, _ := strings.Cut(a, "=")
		x, err := strconv.ParseFloat(value, 64)
		if err != nil {
			return nil, err
		}
		in[key] = x
	}
	y, err := f(in)
	return answers{t.heading["result"]: y}, err
}
