package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"time"
)

// draws is one stream of random numbers.
type draws struct{ *rand.Rand }

func stream(n uint64) draws { return draws{rand.New(rand.NewPCG(seed, n))} }

// between is rectangular from low to high.
func (d draws) between(low, high float64) float64 { return low + (high-low)*d.Float64() }

// within is rectangular from -limit to limit.
func (d draws) within(limit float64) float64 { return d.between(-limit, limit) }

// about is value times a factor with the given relative standard deviation.
func (d draws) about(value, relative float64) float64 {
	return value * math.Exp(relative*d.NormFloat64())
}

// days is a whole number of days from low to high.
func (d draws) days(low, high int) int { return low + d.IntN(high-low+1) }

// oneOf picks by weight.
func oneOf[T any](d draws, choices []weighted[T]) T {
	var sum float64
	for _, c := range choices {
		sum += c.weight
	}
	x := d.Float64() * sum
	for _, c := range choices {
		if x -= c.weight; x < 0 {
			return c.what
		}
	}
	return choices[len(choices)-1].what
}

type weighted[T any] struct {
	weight float64
	what   T
}

func date(s string) time.Time {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		panic(err) // a date in this program is wrong
	}
	return t
}

func after(t time.Time, days int) time.Time { return t.AddDate(0, 0, days) }

// workday moves a Saturday or Sunday to the Monday.
func workday(t time.Time) time.Time {
	switch t.Weekday() {
	case time.Saturday:
		return after(t, 2)
	case time.Sunday:
		return after(t, 1)
	}
	return t
}

var lastDay = date("2024-05-31")

// table is one file of records: rows begin with their date.
type table struct {
	columns []string
	rows    [][]string
}

func newTable(columns string) *table { return &table{columns: strings.Fields(columns)} }

// add appends a row; a column that is not named stays empty.
func (t *table) add(cells map[string]string) {
	row := make([]string, len(t.columns))
	for name, cell := range cells {
		row[slices.Index(t.columns, name)] = cell
	}
	t.rows = append(t.rows, row)
}

func (t *table) bytes() []byte {
	slices.SortStableFunc(t.rows, func(a, b []string) int { return strings.Compare(a[0], b[0]) })
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.Write(t.columns) // a bytes.Buffer takes everything
	w.WriteAll(t.rows)
	return b.Bytes()
}

func day(t time.Time) string { return t.Format(time.DateOnly) }
func euros(x float64) string { return fmt.Sprintf("%.2f EUR", x) }
func hours(x float64) string { return fmt.Sprintf("%.1f h", x) }
func count(n int) string     { return fmt.Sprint(n) }
func serial(n int) string    { return fmt.Sprintf("%04d", n) }
func decimals(x float64, n int) float64 {
	p := math.Pow10(n)
	return math.Round(x*p) / p
}
