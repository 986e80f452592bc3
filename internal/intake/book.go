package intake

import (
	"archive/zip"
	"bufio"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"

	"github.com/xuri/excelize/v2"
)

// book is a workbook whose parts are read as they are asked for.
type book struct {
	file    string
	data    []byte
	parts   map[string]*zip.File
	macro   bool
	epoch   int
	sheets  []bookSheet
	shared  []string
	formats []*format
	opened  *excelize.File // only where a formula is to be computed
	summed  formulas
	size    uint64 // unpacked
}

type bookSheet struct {
	name, part string
	hidden     bool
}

// readBook reads one sheet of a workbook (ECMA-376, part 1).
func readBook(file string, data []byte, name string) (*sheet, error) {
	b, err := openBook(file, data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	chosen, err := b.choose(name)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	if err := b.common(); err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	s := &sheet{file: file, name: chosen.name, epoch: b.epoch, book: b, merged: map[int]int{}}
	if b.macro {
		s.note("the workbook carries a macro", "it was not touched: only cells were read")
	}
	if err := b.cells(chosen, s); err != nil {
		return nil, fmt.Errorf("%s: sheet %s: %w", file, chosen.name, err)
	}
	return s, nil
}

// openBook looks into the archive, and refuses one that is no workbook or would unfold beyond measure.
func openBook(file string, data []byte) (*book, error) {
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, errors.New("is a damaged archive; save the workbook anew")
	}
	b := &book{file: file, data: data, parts: map[string]*zip.File{}, epoch: 1900}
	if len(archive.File) > mostEntries {
		return nil, fmt.Errorf("is an archive of %d files, which no maker's workbook is; want at most %d", len(archive.File), mostEntries)
	}
	var total uint64
	for _, f := range archive.File {
		// The sizes are those that the archive states; reading a part that is longer is an error of archive/zip.
		size := f.UncompressedSize64
		total += min(size, 1<<62)
		if size > smallPart && size/mostRatio > f.CompressedSize64 {
			return nil, fmt.Errorf("its part %s unfolds to more than %d times its size, as made to fill the memory; want a workbook as a spreadsheet saves it", f.Name, mostRatio)
		}
		if total > mostUnpacked {
			return nil, fmt.Errorf("unfolds to more than %d MB; want a smaller workbook, or CSV", mostUnpacked>>20)
		}
		b.size = total
		b.parts[strings.TrimPrefix(f.Name, "/")] = f
		b.macro = b.macro || strings.HasSuffix(f.Name, "vbaProject.bin")
	}
	switch {
	case b.parts["content.xml"] != nil:
		return nil, errors.New("is a workbook of another format; save it as .xlsx or CSV")
	case b.parts["xl/workbook.bin"] != nil:
		return nil, errors.New("is a binary workbook, which is not read; save it as .xlsx or CSV")
	}
	return b, b.index()
}

// tokens calls see for every start and end of an element and for every text of a part.
func (b *book) tokens(part string, see func(token xml.Token) error) error {
	f := b.parts[part]
	if f == nil {
		return fmt.Errorf("its part %s is missing; save the workbook anew", part)
	}
	r, err := f.Open()
	if err != nil {
		return fmt.Errorf("its part %s is damaged; save the workbook anew", part)
	}
	defer r.Close()
	m := &metered{r: bufio.NewReader(r)}
	d := xml.NewDecoder(m)
	damaged := fmt.Errorf("its part %s is damaged; save the workbook anew", part)
	var open []string // names of the elements that are open
	for {
		m.left = mostPiece
		token, err := d.RawToken()
		switch {
		case err == io.EOF && len(open) == 0:
			return nil
		case errors.Is(err, errPiece):
			return fmt.Errorf("its part %s has a piece of more than %d characters; want a workbook as a spreadsheet saves it", part, mostPiece)
		case err != nil:
			return damaged
		}
		switch e := token.(type) {
		case xml.Directive:
			return fmt.Errorf("its part %s declares entities or a document type, as no spreadsheet does; save the workbook anew", part)
		case xml.StartElement:
			open = append(open, e.Name.Local)
		case xml.EndElement:
			if len(open) == 0 || open[len(open)-1] != e.Name.Local {
				return damaged
			}
			open = open[:len(open)-1]
		}
		if len(open) > mostDepth {
			return fmt.Errorf("its part %s is nested more than %d deep, as no spreadsheet does; save the workbook anew", part, mostDepth)
		}
		if err := see(token); err != nil {
			return err
		}
	}
}

// metered is a reader that stops after so many bytes, so that no piece of XML is gathered without bound.
type metered struct {
	r    *bufio.Reader
	left int
}

var errPiece = errors.New("the piece is too large")

func (m *metered) ReadByte() (byte, error) {
	if m.left--; m.left < 0 {
		return 0, errPiece
	}
	return m.r.ReadByte()
}

func (m *metered) Read(p []byte) (int, error) { return m.r.Read(p) }

func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// relations returns the parts that a part points to, by id, or by the last word of their type.
func (b *book) relations(part string, by string) (map[string]string, error) {
	dir, base := path.Split(part)
	to := map[string]string{}
	err := b.tokens(path.Join(dir, "_rels", base+".rels"), func(token xml.Token) error {
		if e, ok := token.(xml.StartElement); ok && e.Name.Local == "Relationship" && attr(e, "TargetMode") != "External" {
			target := attr(e, "Target")
			if !strings.HasPrefix(target, "/") {
				target = path.Join("/", dir, target)
			}
			to[path.Base(attr(e, by))] = strings.TrimPrefix(path.Clean(target), "/")
		}
		return nil
	})
	return to, err
}

// index finds the sheets (18.2.19, 18.2.28).
func (b *book) index() error {
	top, err := b.relations("", "Type")
	if err != nil || top["officeDocument"] == "" {
		return errors.New("is no workbook; want a CSV file or an .xlsx workbook")
	}
	parts, err := b.relations(top["officeDocument"], "Id")
	if err != nil {
		return err
	}
	err = b.tokens(top["officeDocument"], func(token xml.Token) error {
		e, ok := token.(xml.StartElement)
		switch {
		case !ok:
		case e.Name.Local == "workbookPr" && (attr(e, "date1904") == "1" || attr(e, "date1904") == "true"):
			b.epoch = 1904
		case e.Name.Local == "sheet":
			b.sheets = append(b.sheets, bookSheet{attr(e, "name"), parts[attrSpace(e, "r", "id")], attr(e, "state") != "" && attr(e, "state") != "visible"})
		}
		return nil
	})
	if err == nil && len(b.sheets) == 0 {
		err = errors.New("has no sheet; want a workbook with a table")
	}
	return err
}

// attrSpace is attr for an attribute with a prefix, whatever the prefix is called.
func attrSpace(e xml.StartElement, _, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name && a.Name.Space != "" {
			return a.Value
		}
	}
	return ""
}

// choose returns the sheet that is asked for, or the only one that is shown.
func (b *book) choose(name string) (bookSheet, error) {
	var shown, names []string
	var only bookSheet
	for _, s := range b.sheets {
		if s.name == name || name != "" && folded(s.name) == folded(name) {
			return s, nil
		}
		names = append(names, s.name)
		if !s.hidden {
			only, shown = s, append(shown, s.name)
		}
	}
	switch {
	case name != "":
		return only, fmt.Errorf("there is no sheet %q; want one of: %s", name, someOf(names))
	case len(shown) == 0:
		return only, fmt.Errorf("all of its %d sheets are hidden; name one with --sheet: %s", len(names), someOf(names))
	case len(shown) > 1:
		return only, fmt.Errorf("has %d sheets; name one with --sheet: %s", len(shown), someOf(shown))
	}
	return only, nil
}

// someOf lists the first of some names.
func someOf(names []string) string {
	const most = 10
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s, … and %d more", strings.Join(names[:most], ", "), len(names)-most)
}
