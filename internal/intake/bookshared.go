package intake

import (
	"encoding/xml"
	"fmt"
	"path"
	"strings"
	"unicode/utf8"
)

// common reads what the sheets share: texts (18.4.9) and how numbers are shown (18.8.30, 18.8.45).
func (b *book) common() error {
	for name := range b.parts {
		switch path.Base(name) {
		case "sharedStrings.xml":
			if err := b.strings(name); err != nil {
				return err
			}
		case "styles.xml":
			if err := b.styles(name); err != nil {
				return err
			}
		}
	}
	return nil
}

func (b *book) strings(part string) error {
	var text strings.Builder
	open, spoken, size := false, 0, 0 // spoken: readings of characters (rPh), which are no part of the text
	return b.tokens(part, func(token xml.Token) error {
		switch e := token.(type) {
		case xml.StartElement:
			open = e.Name.Local == "t"
			if e.Name.Local == "rPh" {
				spoken++
			}
		case xml.EndElement:
			open = false
			switch e.Name.Local {
			case "rPh":
				spoken--
			case "si":
				b.shared = append(b.shared, tidy(unescaped(text.String())))
				if size += text.Len(); size > mostShared || len(b.shared) > mostTexts {
					return fmt.Errorf("its texts are too many; at most %d of %d MB are read", mostTexts, mostShared>>20)
				}
				text.Reset()
			}
		case xml.CharData:
			if open && spoken == 0 {
				return gather(&text, e)
			}
		}
		return nil
	})
}

func (b *book) styles(part string) error {
	codes := map[string]string{}
	inside := false
	return b.tokens(part, func(token xml.Token) error {
		switch e := token.(type) {
		case xml.StartElement:
			switch {
			case e.Name.Local == "numFmt":
				codes[attr(e, "numFmtId")] = attr(e, "formatCode")
			case e.Name.Local == "cellXfs":
				inside = true
			case e.Name.Local == "xf" && inside:
				b.formats = append(b.formats, formatOf(attr(e, "numFmtId"), codes[attr(e, "numFmtId")]))
			}
		case xml.EndElement:
			inside = inside && e.Name.Local != "cellXfs"
		}
		return nil
	})
}

// gather adds to a text, which may be no longer than a cell's.
func gather(text *strings.Builder, more []byte) error {
	text.Write(more)
	if text.Len() > mostText && utf8.RuneCountInString(text.String()) > mostText {
		return fmt.Errorf("a cell has more than %d characters, as no spreadsheet's has; want a shorter one", mostText)
	}
	return nil
}
