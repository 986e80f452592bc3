package tree

import (
	"bytes"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// Decode returns the bytes of a text that others wrote as UTF-8, without its byte order mark, and what
// it was if that was not UTF-8: "UTF-16" or "Windows-1252". ok is false if it is no text.
func Decode(data []byte) (text []byte, was string, ok bool) {
	var from encoding.Encoding
	switch {
	case bytes.HasPrefix(data, []byte(byteOrderMark)):
		data = data[len(byteOrderMark):]
	case bytes.HasPrefix(data, []byte("\xff\xfe")), bytes.HasPrefix(data, []byte("\xfe\xff")):
		from, was = unicode.UTF16(unicode.LittleEndian, unicode.UseBOM), "UTF-16"
	case zeros(data, 1):
		from, was = unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM), "UTF-16"
	case zeros(data, 0):
		from, was = unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM), "UTF-16"
	case !utf8.Valid(data):
		from, was = charmap.Windows1252, "Windows-1252"
	}
	if from != nil {
		var err error
		if data, err = from.NewDecoder().Bytes(data); err != nil {
			return nil, "", false
		}
	}
	if !utf8.Valid(data) || bytes.IndexByte(data, 0) >= 0 || bytes.Contains(data, []byte("\uFFFD")) {
		return nil, "", false
	}
	return data, was, true
}

// zeros reports whether every second byte at the start is 0, as in Latin text in UTF-16.
func zeros(data []byte, first int) bool {
	n := min(len(data)/2*2, 64)
	for i := 0; i < n; i += 2 {
		if data[i+first] != 0 || data[i+1-first] == 0 {
			return false
		}
	}
	return n >= 4
}
