package starter

// Answers holds what was typed, each a figure, a range such as "30..40 EUR", or empty.
type Answers struct {
	Price          string // of one unit
	PartsCost      string // of one unit
	Minutes        string // of work on one unit, from bare board to parcel
	SoldFrom       string // "2021", "2021-05", "2021-05-31", or a whole period: "2021..2023"
	SoldUntil      string // the same, or "today"
	Sold           string // units
	CameBack       string // units
	SpentOtherwise string // money beside the parts of what was sold
	Voltage        string // nominal
	Current        string // of the label
	Circuit        string // one of Circuits
	Name           string // of the product; the folder's name if empty
}

// Question is one of the eight, with one part for each figure that it asks for.
type Question struct {
	Text  string
	Parts []Part
}

// Part is one figure of a question.
type Part struct {
	Key     string // name of the field in Answers
	Flag    string // name of the command's option, without dashes
	Text    string // what is asked; "" where the question says it
	Example string
	Check   func(answer string) error // says in plain words what is wrong and what is accepted; empty is right
}

// Questions returns the eight questions in order.
func Questions() []Question {
	single := func(text, key, flag, example string) Question {
		return Question{text, []Part{part(key, flag, "", example)}}
	}
	return []Question{
		single("What do you sell one for?", "Price", "price", "34 EUR"),
		single("What do the parts of one cost?", "PartsCost", "parts", "9..11 EUR"),
		single("How many minutes of work are in one, from bare board to parcel?", "Minutes", "minutes", "30..45 min"),
		{"When did you sell it, and about how many?", []Part{
			part("SoldFrom", "sold-from", "from", "2021-05"),
			part("SoldUntil", "sold-until", "until; today if you still do", "2023"),
			part("Sold", "sold", "how many", "about 300"),
		}},
		single("About how many came back?", "CameBack", "came-back", "5..10"),
		single("What else did you spend on it: tools, tests, rent, advertising?", "SpentOtherwise", "spent", "1200 EUR"),
		{"Nominal voltage, and how many amperes?", []Part{
			part("Voltage", "voltage", "voltage", "12 V"),
			part("Current", "current", "current", "5 A"),
		}},
		single("Which circuit comes nearest?", "Circuit", "circuit", "series-negative"),
	}
}

func part(key, flag, text, example string) Part {
	check := func(answer string) error {
		var a Answers
		*a.field(key) = answer
		_, err := read(a, today())
		return plainly(err)
	}
	return Part{key, flag, text, example, check}
}

// nameFlag is the option for Answers.Name, which none of the eight questions asks for.
const nameFlag = "name"

// field returns the answer that a part's key names.
func (a *Answers) field(key string) *string {
	switch key {
	case "Price":
		return &a.Price
	case "PartsCost":
		return &a.PartsCost
	case "Minutes":
		return &a.Minutes
	case "SoldFrom":
		return &a.SoldFrom
	case "SoldUntil":
		return &a.SoldUntil
	case "Sold":
		return &a.Sold
	case "CameBack":
		return &a.CameBack
	case "SpentOtherwise":
		return &a.SpentOtherwise
	case "Voltage":
		return &a.Voltage
	case "Current":
		return &a.Current
	case "Circuit":
		return &a.Circuit
	}
	panic("starter: no answer is called " + key)
}

// Circuit is one of the usual arrangements of switch and blocking diode.
type Circuit struct {
	Name, Text string
}

// Circuits returns the five ready circuits; docs/folder.md shows them in full.
func Circuits() []Circuit {
	return []Circuit{
		{"series-negative", "switch in the negative leg, diode inside"},
		{"series-negative-lead", "switch in the negative leg, diode in the panel's lead"},
		{"series-positive", "p-channel switch in the positive leg, diode inside"},
		{"shunt", "switch across the panel, diode inside"},
		{"back-to-back", "two switches in the negative leg, no diode"},
	}
}
