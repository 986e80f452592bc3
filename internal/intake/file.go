package intake

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// The largest tables that are read, and how far a packed one may unfold.
const (
	mostBytes    = 64 << 20
	mostUnpacked = 512 << 20
	mostEntries  = 5000
	mostRatio    = 250 // of a part that unfolds to more than smallPart; sheets are packed to a tenth, seldom to a hundredth
	smallPart    = 4 << 20
	mostRows     = 1 << 20
	mostColumns  = 256
	mostCells    = 4 << 20 // the empty ones before a cell of their row count too
	mostMerges   = 10000
	mostText     = 32767     // characters in a cell; as spreadsheets have it
	mostPiece    = 1 << 20   // bytes of a tag or of a text between tags
	mostDepth    = 64        // of tags
	mostTexts    = 2 << 20   // that the sheets of a workbook share
	mostShared   = 128 << 20 // bytes of these
	mostSummed   = 128 << 20 // bytes of a workbook whose formulas are computed
)

// readTable reads the table of a file: CSV, or the sheet of a workbook.
func readTable(path, sheetName string) (*sheet, error) {
	data, err := content(path)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return tableOf(filepath.Base(path), data, sheetName)
}

// tableOf reads the table of what a file of that name holds.
func tableOf(file string, data []byte, sheetName string) (*sheet, error) {
	switch {
	case len(data) > mostBytes:
		return nil, fmt.Errorf("%s: is too large; at most %d MB are read", file, mostBytes>>20)
	case len(bytes.TrimSpace(data)) == 0:
		return nil, fmt.Errorf("%s: is empty; want a CSV file or an .xlsx workbook", file)
	case bytes.HasPrefix(data, []byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1")): // a compound file: .xls, or a workbook under a password
		return nil, fmt.Errorf("%s: is a workbook of the format before 2007, or one under a password, which are not read; save it as .xlsx without a password, or as CSV", file)
	case bytes.HasPrefix(data, []byte("%PDF-")):
		return nil, fmt.Errorf("%s: is a PDF, which is not read; want a CSV file or an .xlsx workbook", file)
	case webPage(data):
		return nil, fmt.Errorf("%s: is a page or a table of the web under another name; open it in a spreadsheet and save it as .xlsx or CSV", file)
	case bytes.HasPrefix(data, []byte("PK")):
		return readBook(file, data, sheetName)
	case sheetName != "":
		return nil, fmt.Errorf("%s: is no workbook, so it has no sheet %q; leave --sheet out", file, sheetName)
	}
	return readCSV(file, data)
}

func content(path string) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, errors.New("there is no such file; want a CSV file or an .xlsx workbook")
	case err != nil:
		return nil, errors.New("cannot be read; want a file that may be read")
	case !info.Mode().IsRegular():
		return nil, errors.New("is no plain file; want a CSV file or an .xlsx workbook")
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, errors.New("may not be read; want a file that may be read")
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, mostBytes+1))
	if err == nil && len(data) > mostBytes {
		err = fmt.Errorf("is too large; at most %d MB are read", mostBytes>>20)
	}
	return data, err
}

// webPage reports whether a file begins like HTML or XML, which shops call .xls.
func webPage(data []byte) bool {
	start := bytes.ToLower(bytes.TrimLeft(data[:min(len(data), 512)], "\xef\xbb\xbf \t\r\n"))
	for _, tag := range []string{"<!doctype", "<html", "<table", "<?xml", "<head", "<meta", "<body"} {
		if bytes.HasPrefix(start, []byte(tag)) {
			return true
		}
	}
	return false
}
