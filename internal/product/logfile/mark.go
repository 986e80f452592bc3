package logfile

import (
	"bytes"
	"math"
	"strings"
)

// Why nothing was read of a cell.
const (
	overRange = "beyond the meter's range"
	noValue   = "the logger had no value"
	isEmpty   = "is empty"
	noNumber  = "is no number"
	otherUnit = "is in a unit of another kind"
	noStamp   = "is no time"
	tooCold   = "is below absolute zero"
)

// marks are what meters and loggers write where they have no number, in capitals. SCPI (1999, volume 1,
// 7.2.1) writes infinity as 9.9E37 and no number as 9.91E37; the rest is common practice, no source.
var marks = map[string]string{
	"OL": overRange, "O.L": overRange, "O.L.": overRange, "0L": overRange, "0.L": overRange, ".OL": overRange, "O/L": overRange, "O L": overRange,
	"OVL": overRange, "OVLD": overRange, "OVRNG": overRange, "OVR": overRange, "OVER": overRange, "OVERLOAD": overRange, "OVERFLOW": overRange, "OVFL": overRange,
	"OVERRANGE": overRange, "OVER RANGE": overRange, "OUT OF RANGE": overRange, "OF": overRange, "OFL": overRange, "OFLOW": overRange, "UFLOW": overRange,
	"UR": overRange, "UNDER": overRange, "UNDERRANGE": overRange, "UNDERFLOW": overRange, "HI": overRange, "LO": overRange,
	"INF": overRange, "INFINITY": overRange, "1.#INF": overRange,
	"NAN": noValue, "1.#QNAN": noValue, "1.#IND": noValue, "N/A": noValue, "NA": noValue, "#N/A": noValue, "#NV": noValue, "NULL": noValue, "NONE": noValue,
	"NIL": noValue, "MISSING": noValue, "ERR": noValue, "ERROR": noValue, "FAIL": noValue, "FAULT": noValue, "INVALID": noValue, "BAD": noValue, "OPEN": noValue,
	"SHORT": noValue, "BURNOUT": noValue, "LEAD": noValue, "#VALUE!": noValue, "#DIV/0!": noValue, "#NUM!": noValue, "#REF!": noValue, "#NAME?": noValue,
}

const (
	scpiInfinity = 9.9e37
	scpiNumber   = 9.91e37
)

// marked says what a cell that is no number stands for; "" if it is no mark either.
func marked(cell []byte) string {
	if len(bytes.Trim(cell, "-*#?._=")) == 0 {
		return noValue // ---, ****, ####
	}
	if len(cell) > len("out of range")+1 {
		return ""
	}
	text := strings.ToUpper(string(bytes.TrimLeft(cell, "+- <>")))
	return marks[text]
}

// infinite says what a number stands for that no meter can have shown; "" for all others.
func infinite(v float64) string {
	switch v = math.Abs(v); {
	case v == scpiNumber:
		return noValue
	case v >= scpiInfinity:
		return overRange
	}
	return ""
}
