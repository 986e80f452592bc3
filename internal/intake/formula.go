package intake

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"
)

// Formulas that were saved without a value are computed by the library where that is sure to end: all formulas of the sheet are simple,
// few, and sum over few cells.
const (
	mostFormulas = 10000
	mostSummands = 4 << 20
	patience     = 20 * time.Second // for all of a file
)

// formulas is what is known of the formulas of a sheet.
type formulas struct {
	n, cells int
	last     int               // cells of the last one; one without a text shares it
	of       map[[2]int][]area // what the one in a column and a row points to
	wild     string            // one that is not simple
	spent    time.Duration
}

var (
	formulaWord = regexp.MustCompile(`[A-Za-z_$\\][\w$.]*\(?`)
	cellWord    = regexp.MustCompile(`^\$?[A-Z]{1,2}\$?\d{1,7}$`)
	cellRange   = regexp.MustCompile(`(\$?[A-Z]{1,2}\$?\d{1,7})(?:\s*:\s*(\$?[A-Z]{1,2}\$?\d{1,7}))?`)
	numberWord  = regexp.MustCompile(`\d[\d.]*[eE][+-]?\d+`)
	// of other sheets, files and names, texts that grow, sets of rows
	wildSigns = "![]&#{}@'\""
)

// simpleWords are the functions that a simple formula may have: arithmetic and days.
var simpleWords = strings.Fields("SUM( PRODUCT( ROUND( ROUNDUP( ROUNDDOWN( INT( ABS( MIN( MAX( AVERAGE( COUNT( IF( IFERROR( AND( OR( NOT( DATE( YEAR( MONTH( DAY( MOD( TRUE FALSE")

// see notes the formula of a cell.
func (f *formulas) see(column, row int, text string) {
	f.n++
	if text == "" {
		f.cells += f.last
	}
	if f.wild != "" || text == "" || f.n > mostFormulas {
		return
	}
	if strings.ContainsAny(text, wildSigns) || len(text) > 1000 {
		f.wild = text
		return
	}
	bare := numberWord.ReplaceAllString(text, "0")
	for _, word := range formulaWord.FindAllString(bare, -1) {
		if !cellWord.MatchString(word) && !slices.Contains(simpleWords, strings.ToUpper(word)) {
			f.wild = text
			return
		}
	}
	f.last = 0
	for _, m := range cellRange.FindAllStringSubmatch(bare, -1) {
		if m[2] == "" {
			m[2] = m[1]
		}
		left, top, ok1 := cellAt(strings.ReplaceAll(m[1], "$", ""))
		right, bottom, ok2 := cellAt(strings.ReplaceAll(m[2], "$", ""))
		if !ok1 || !ok2 || bottom > mostRows || top > mostRows {
			f.wild = text
			return
		}
		a := area{min(top, bottom), min(left, right), max(top, bottom), max(left, right)}
		f.last += min((a.right-a.left+1)*(a.bottom-a.top+1), mostSummands+1)
		f.point(column, row, a)
	}
	f.cells += f.last
}

func (f *formulas) point(column, row int, a area) {
	if f.of == nil {
		f.of = map[[2]int][]area{}
	}
	at := [2]int{column, row}
	f.of[at] = append(f.of[at], a)
}

// circular reports whether a formula leads back to one that is on the way to it.
func (f *formulas) circular(at [2]int, way map[[2]int]bool) bool {
	open, seen := way[at]
	if seen {
		return open
	}
	way[at] = true
	for _, a := range f.of[at] {
		for row := a.top; row <= a.bottom; row++ {
			for column := a.left; column <= a.right; column++ {
				if next := [2]int{column, row}; f.of[next] != nil && f.circular(next, way) {
					return true
				}
			}
		}
	}
	way[at] = false
	return false
}

// compute asks the library for the value of a formula that was saved without one.
func (b *book) compute(sheetName string, column, row int) (text string, err error) {
	const remedy = "; open the workbook in a spreadsheet, save it and try again"
	f := &b.summed
	switch {
	case f.wild != "":
		return "", fmt.Errorf("the formula has no value, and is not computed here since %q of the sheet is not simple%s", short(f.wild, 40), remedy)
	case f.n > mostFormulas || f.cells > mostSummands || b.size > mostSummed:
		return "", errors.New("the formula has no value, and the workbook is too large to compute it here" + remedy)
	case f.spent > patience:
		return "", errors.New("the formulas without values take too long to compute here" + remedy)
	}
	if f.circular([2]int{column, row}, map[[2]int]bool{}) {
		return "", errors.New("the formula has no value, and leads back to itself; write the value there")
	}
	start := time.Now()
	type answer struct {
		text string
		err  error
	}
	done := make(chan answer, 1)
	go func() {
		text, err := b.calculated(sheetName, letters(column)+strconv.Itoa(row))
		done <- answer{text, err}
	}()
	select {
	case a := <-done:
		text, err = a.text, a.err
		f.spent += time.Since(start)
	case <-time.After(patience - f.spent):
		f.spent = patience + 1
		err = errors.New("takes too long")
	}
	if err != nil || strings.HasPrefix(text, "#") {
		return "", errors.New("the formula has no value, and cannot be computed; write the value there")
	}
	return text, nil
}

func (b *book) calculated(sheetName, at string) (text string, err error) {
	defer func() {
		if fault := recover(); fault != nil { // of the library, on a workbook that it does not understand
			err = errors.New("cannot be computed")
		}
	}()
	raw := excelize.Options{RawCellValue: true, UnzipSizeLimit: mostUnpacked, UnzipXMLSizeLimit: mostUnpacked}
	if b.opened == nil {
		if b.opened, err = excelize.OpenReader(bytes.NewReader(b.data), raw); err != nil {
			return "", err
		}
	}
	return b.opened.CalcCellValue(sheetName, at, raw)
}
