package intake

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"hindwatt/internal/quantity"
)

// What a column holds.
const (
	aText = iota
	aName // of something in the folder
	aWord // one of a few words
	aDay
	aCount
	aMoney
	aTime
	aQuantity
	aRatio
)

// target is a column of the records, or a key of a line of the bill of materials.
type target struct {
	name   string
	is     int
	needed bool
	words  []string // headers that mean it, folded, without what its unit is; its own name is one of them
}

func words(list string) (out []string) {
	for _, w := range strings.Split(list, ",") {
		out = append(out, folded(w))
	}
	return out
}

var (
	wordsCount  = words("count,qty,quantity,units,pieces,pcs,number,how many,quantity sold,units sold,qty sold,number sold,items,qty made,quantity made")
	wordsSerial = words("serial,serial number,serial no,sn,s/n,unit number,unit no,device number")
	wordsBatch  = words("batch,lot,run,batch number,batch no,lot number,production batch")
	wordsRev    = words("revision,rev,version,hardware revision,hardware version,hw rev")
	wordsUntil  = words("until,to,end date,end,through,period end,last day")
	wordsBasis  = words("basis")
	wordsNote   = words("note,notes,remark,remarks,comment,comments")
	wordsStep   = words("step,operation,process,task,stage,work step")
)

// weakWords stand over days only where no better header does and only one of them stands.
var weakWords = words("year,month,quarter,period")

// eventWords stand over the day of the event or over how many there were: their cells tell which.
var eventWords = words("sold,made,built,ordered,shipped,returned,came back,received,finished")

// targets are the columns of each kind. The header words are ours: common practice, no source.
var targets = map[string][]target{
	"made": {
		{"date", aDay, true, words("date,day,made on,date made,build date,built,built on,finished,finished on,production date,tested on,test date")},
		{"until", aDay, false, wordsUntil}, {"count", aCount, false, wordsCount}, {"serial", aText, false, wordsSerial}, {"batch", aText, false, wordsBatch},
		{"revision", aName, false, wordsRev}, {"step", aName, false, wordsStep},
		{"result", aWord, false, words("result,outcome,test result,status,verdict")}, {"basis", aWord, false, wordsBasis}, {"note", aText, false, wordsNote},
	},
	"sold": {
		{"date", aDay, true, words("date,day,sold on,date sold,sale date,order date,ordered,ordered on,date of sale,date of order,purchase date,shipped,shipped on,ship date,paid on")},
		{"until", aDay, false, wordsUntil}, {"count", aCount, false, wordsCount}, {"serial", aText, false, wordsSerial},
		{"channel", aName, false, words("channel,sales channel,shop,marketplace,sold via,sold through,sold on platform,platform,store,outlet")},
		{"price", aMoney, false, words("price,unit price,item price,price each,selling price,sale price,price per unit,price paid,price of one")},
		{"carriage", aMoney, false, words("carriage,shipping,postage,freight,delivery,shipping cost,shipping costs,postage paid,delivery cost,carriage paid")},
		{"basis", aWord, false, wordsBasis}, {"note", aText, false, wordsNote},
	},
	"returned": {
		{"date", aDay, true, words("date,day,returned,returned on,date returned,return date,came back,came back on,received,received on,date received,date of return")},
		{"until", aDay, false, wordsUntil}, {"count", aCount, false, wordsCount}, {"serial", aText, false, wordsSerial}, {"batch", aText, false, wordsBatch}, {"revision", aName, false, wordsRev},
		{"reason", aText, false, words("reason,defect,symptom,problem,cause,fault,reason for return,return reason,what was wrong")},
		{"found", aWord, false, words("found,finding,findings,diagnosis,fault found")},
		{"cost", aMoney, false, words("cost,costs,repair cost,cost of repair,cost of return")},
		{"minutes", aTime, false, words("minutes,mins,min,hours,time,repair time,time spent,work,labour")},
		{"basis", aWord, false, wordsBasis}, {"note", aText, false, wordsNote},
	},
	"spent": {
		{"date", aDay, true, words("date,day,paid on,date paid,payment date,invoice date,booking date,spent on,value date")},
		{"until", aDay, false, wordsUntil},
		{"kind", aText, true, words("kind,category,type,expense type,expense,what for,purpose,group")},
		{"amount", aMoney, true, words("amount,cost,total,sum,price,paid,amount paid,value,gross amount,spent,money")},
		{"basis", aWord, false, wordsBasis}, {"note", aText, false, append(words("description,details,text"), wordsNote...)},
	},
	"hours": {
		{"date", aDay, true, words("date,day,worked on,work date,date worked,start date,from")},
		{"until", aDay, false, wordsUntil},
		{"kind", aText, true, words("kind,category,type,activity,type of work,work,project part")},
		{"time", aTime, true, words("time,hours,hrs,h,duration,time spent,hours worked,minutes,mins,min,time worked")},
		{"count", aCount, false, wordsCount}, {"step", aName, false, wordsStep}, {"basis", aWord, false, wordsBasis}, {"note", aText, false, append(words("description,details"), wordsNote...)},
	},
	"reading": {
		{"date", aDay, true, words("date,day,measured on,date measured,reading date,time,timestamp,measured at")},
		{"what", aText, true, words("what,measured,measurement,parameter,measured quantity,quantity")},
		{"value", aQuantity, true, words("value,reading,measured value,result")},
		{"meter", aName, false, words("meter,instrument,measured with,device")},
		{"serial", aText, false, wordsSerial}, {"revision", aName, false, wordsRev},
		{"ambient", aQuantity, false, words("ambient,ambient temperature,temperature,air temperature,air,room temperature")},
		{"charge_current", aQuantity, false, words("charge current,charging current,panel current")},
		{"load_current", aQuantity, false, words("load current")},
		{"basis", aWord, false, wordsBasis}, {"note", aText, false, wordsNote},
	},
	"bom": {
		{"name", aText, true, words("name,line,item,ref,reference,part number,part no,component,position,id,item name,part name,article,article number")},
		{"part", aName, false, words("datasheet part")},
		{"what", aText, false, words("what,description,part description,item description,details,specification")},
		{"each", aCount, false, words("each,qty,quantity,qty per unit,quantity per unit,per unit,count,pieces,pcs,units,used,qty each")},
		{"prices", aMoney, false, words("prices,price,unit price,price each,cost,unit cost,cost each,price per piece")},
		{"minimum_order", aCount, false, words("minimum order,moq,min order,minimum order quantity,min qty,minimum quantity")},
		{"pack", aCount, false, words("pack,pack size,package,packaging unit,sold in,per pack")},
		{"attrition", aRatio, false, words("attrition,loss,losses,wastage,waste,scrap")},
	},
}

// Kinds returns what a table can be taken as: the kinds of records, and "bom".
func Kinds() []string {
	return []string{"made", "sold", "returned", "spent", "hours", "reading", "bom"}
}

// folded returns a header's letters and digits in lower case, without accents.
func folded(text string) string {
	var b strings.Builder
	for _, r := range norm.NFD.String(text) {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			b.WriteRune(unicode.ToLower(r))
		case r == '%' || r == '#':
			b.WriteRune(r)
		}
	}
	return b.String()
}

// parted returns the lower-case words of a header.
func parted(text string) []string {
	return strings.FieldsFunc(strings.ToLower(norm.NFD.String(text)), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.Is(unicode.Mn, r)
	})
}

// timeWords are the units of time that a header names.
var timeWords = map[string]string{"minutes": "min", "minute": "min", "mins": "min", "min": "min", "hours": "h", "hour": "h", "hrs": "h", "h": "h", "days": "d", "seconds": "s", "sec": "s"}

// unitOf cuts a unit off a header: "Price (EUR)", "Value [V]", "time in min", "price EUR", "Repair minutes".
func unitOf(header string) (rest, unit string) {
	for _, pair := range []string{"()", "[]"} {
		open := strings.LastIndexByte(header, pair[0])
		if open > 0 && strings.HasSuffix(header, pair[1:]) {
			inside := strings.TrimSpace(header[open+1 : len(header)-1])
			if u := unitWord(inside); u != "" {
				return strings.TrimSpace(header[:open]), u
			}
			return strings.TrimSpace(header[:open]), ""
		}
	}
	fields := strings.Fields(strings.ReplaceAll(header, "_", " "))
	last := len(fields) - 1
	if last < 0 {
		return header, ""
	}
	u := unitWord(fields[last])
	if u == "" || last == 0 && timeWords[folded(header)] == "" {
		return header, ""
	}
	if last == 0 {
		return header, u // "Minutes": the unit is all there is
	}
	if last > 1 && folded(fields[last-1]) == "in" {
		last--
	}
	return strings.Join(fields[:last], " "), u
}

// unitWord returns what a word is as a unit: of time, of money, or of a reading; "" if it is none.
func unitWord(word string) string {
	if u := timeWords[folded(word)]; u != "" {
		return u
	}
	if currencyWord(word) {
		return word
	}
	if strings.HasSuffix(word, "C") && len(word) <= 4 && folded(word) != "c" || word == "°C" {
		return "°C"
	}
	if slices.Contains([]string{"V", "mV", "A", "mA", "W", "Ω", "ohm", "%", "K", "s"}, word) {
		return word
	}
	return ""
}

// currencyWord reports whether a word stands for a currency: a sign, or a code of ISO 4217 in capitals.
func currencyWord(word string) bool {
	if strings.ContainsAny(word, "$€£¥") && len([]rune(word)) <= 3 {
		return true
	}
	if len(word) != 3 || strings.ToUpper(word) != word {
		return false
	}
	dim, _, ok := quantity.UnitDimension(word)
	return ok && dim == quantity.Money
}
