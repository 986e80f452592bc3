package product

import "testing"

func TestDemoTry(t *testing.T) {
	f, err := Read("../../demo/osier-24")
	if err != nil {
		t.Fatal(err.(Errors).Detail())
	}
	t.Log(f.RecordErrors.Detail(), f.Warnings, len(f.Records.Made), f.base.Sense.Top, f.base.Sense.Ageing.Lack(), f.base.Sense.Trimmed.Digit.Lack())
	for _, v := range f.Variants {
		p, err := f.Resolve(v.Name)
		if err != nil {
			t.Fatal(err)
		}
		t.Log(v.Name, p.Sense.Reference.Origin, p.Sense.Trimmed.None, p.Revision.Text)
	}
	t.Log(f.Revisions())
}
