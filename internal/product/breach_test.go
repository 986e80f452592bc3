package product

import (
	"strings"
	"testing"
)

// breachesOf reads a folder with these records: "made: date,serial|2024-05-01,S1".
func breachesOf(t *testing.T, files ...string) *Folder {
	options := []string{}
	content := map[string]string{"product.toml": bare12 + "currency = \"EUR\"\n",
		"production.toml": "[step.test]\nminutes = \"5 min\"\n[channel.shop]\nfee = \"5 %\"\n", "variants/b.toml": "revision = \"B\"\nmade_from = 2023-01-01\n",
		"variants/a.toml": "revision = \"A\"\nmade_from = 2020-01-01\n"}
	for _, f := range append(options, files...) {
		name, rows, _ := strings.Cut(f, ": ")
		content["records/"+name+".csv"] = strings.ReplaceAll(rows, "|", "\n") + "\n"
	}
	f, err := Read(folder(t, content))
	if err != nil || len(f.RecordErrors) > 0 {
		t.Fatal(err, f)
	}
	return f
}

func TestBreaches(t *testing.T) {
	for _, c := range []struct {
		name  string
		files []string
		want  string
	}{
		{"all in order", []string{"made: date,serial|2024-05-01,S1|2024-05-01,S2", "sold: date,serial|2024-05-01,S1", "returned: date,serial|2024-05-01,S1"}, ""},
		{"sold, not made", []string{"made: date,serial|2024-05-01,S1|2024-05-01,S3", "sold: date,serial|2024-05-02,µ2"},
			"records/sold.csv:2:12: serial: \"µ2\": is sold, and no row of records/made.csv made it; want the serial mended, or the row that made it"},
		{"sold before serials were kept", []string{"made: date,serial,count|2020-05-01,,9|2024-05-01,S1,", "sold: date,serial|2023-05-02,S2"}, ""},
		{"may be one of those without a serial", []string{"made: date,serial,count|2020-05-01,,0..1|2024-05-01,S1,|2024-05-01,S9,|2024-05-01,S8,", "sold: date,serial|2024-05-02,S2|2024-05-03,S3"},
			"records/sold.csv:3:12: serial: \"S3\": is sold, and no row of records/made.csv made it; want the serial mended, or the row that made it"},
		{"serials in sold only", []string{"made: date,count|2024-05-01,12", "sold: date,serial|2024-05-02,S2"}, ""},
		{"back, not sold", []string{"sold: date,serial|2024-05-01,S1|2024-05-01,S3", "returned: date,serial|2024-05-02,S2"},
			"records/returned.csv:2:12: serial: \"S2\": came back, and no row of records/sold.csv sold it; want the serial mended, or the row that sold it"},
		{"sold before it was made", []string{"made: date,serial|2024-05-01,S1", "sold: date,serial|2024-04-30,S1"},
			"records/sold.csv:2:1: date: \"2024-04-30\": is before the unit was made (records/made.csv:2); want 2024-05-01 or later\n" +
				"records/sold.csv:2:12: serial: \"S1\": with it 1 are sold by 2024-04-30, and 0 were made or had come back by then; want the rows that records/made.csv lacks, or the counts mended"},
		{"sold in a period", []string{"made: date,serial|2024-05-01,S1", "sold: date,until,serial|2024-04-30,2024-05-31,S1"}, ""},
		{"back before it was sold", []string{"sold: date,serial|2024-05-01,S1|2024-03-01,S2", "returned: date,serial|2024-04-30,S1"},
			"records/returned.csv:2:1: date: \"2024-04-30\": is before the unit was sold (records/sold.csv:2); want 2024-05-01 or later"},
		{"sold twice", []string{"sold: date,serial|2024-05-01,S1|2024-06-01,S1"},
			"records/sold.csv:3:12: serial: \"S1\": is sold twice: records/sold.csv:2 sold it on 2024-05-01, and it has not come back since; want each serial once, or the return in records/returned.csv"},
		{"sold again on the day it came back", []string{"sold: date,serial|2024-05-01,S1|2024-06-01,S1", "returned: date,serial|2024-06-01,S1"}, ""},
		{"made twice", []string{"made: date,serial,step,result|2024-05-01,S1,test,rework|2024-05-01,S1,test,pass|2024-05-02,S1,test,pass"},
			"records/made.csv:4:12: serial: \"S1\": is made twice: records/made.csv:3 has it with the same step and result; want each serial once, or rework told from pass"},
		{"back twice on one day", []string{"sold: date,serial|2024-05-01,S1", "returned: date,serial|2024-06-01,S1|2024-06-01,S1"},
			"records/returned.csv:3:12: serial: \"S1\": came back twice on one day: records/returned.csv:2 has it too; want each return once"},
		{"another batch and revision", []string{"made: date,serial,batch,revision|2024-05-01,S1,7,A", "sold: date,serial|2024-05-01,S1", "returned: date,serial,batch,revision|2024-06-01,S1,8,B"},
			"records/returned.csv:2:15: batch: \"8\": is not the unit's batch of records/made.csv:2; want 7, or the one there mended\n" +
				"records/returned.csv:2:17: revision: \"B\": is not the unit's revision of records/made.csv:2; want A, or the one there mended"},
		{"more sold than made", []string{"made: date,count|2024-05-01,10..12", "sold: date,count|2024-05-02,9|2024-05-03,4|2024-05-04,1"},
			"records/sold.csv:3:12: count: \"4\": with it 13 are sold by 2024-05-03, and 12 were made or had come back by then; want the rows that records/made.csv lacks, or the counts mended"},
		{"within the ranges", []string{"made: date,count|2024-05-01,10..12", "sold: date,count|2024-05-02,12..15"}, ""},
		{"two steps are the same units", []string{"made: date,count,step|2024-05-01,10,|2024-05-02,10,test", "sold: date,count|2024-05-03,11"},
			"records/sold.csv:2:12: count: \"11\": with it 11 are sold by 2024-05-03, and 10 were made or had come back by then; want the rows that records/made.csv lacks, or the counts mended"},
		{"more back than sold", []string{"sold: date,count|2024-05-02,2", "returned: date,count|2024-05-03,3"},
			"records/returned.csv:2:12: count: \"3\": with it 3 have come back by 2024-05-03, and 2 were sold by then; want the rows that records/sold.csv lacks, or the counts mended"},
		{"a period in another", []string{"sold: date,until,count,channel|2023-01-01,2023-12-31,310,shop|2023-03-01,2023-03-31,20,shop|2023-04-01,2023-04-30,20,"},
			"records/sold.csv:2:1: covers records/sold.csv:3, which lies within it, so that this would count twice; want one of them taken out, or the periods parted"},
		{"periods side by side", []string{"spent: date,until,kind,amount|2023-01-01,2023-01-31,parts,3 EUR|2023-01-20,2023-02-10,parts,3 EUR|2023-01-01,2023-01-31,tools,3 EUR|2023-01-01,2023-01-31,parts,4 EUR"}, ""},
		{"a period twice", []string{"hours: date,until,kind,time|2023-01-01,2023-01-31,make,3 h|2023-01-01,2023-01-31,make,3 h"},
			"records/hours.csv:3:1: is written twice: records/hours.csv:2 says the same; want one of them taken out"},
	} {
		f := breachesOf(t, c.files...)
		if got := f.Breaches().Error(); got != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.name, got, c.want)
		}
	}
}

// Every row that a breach names is in doubt, and no other is.
func TestDoubted(t *testing.T) {
	f := breachesOf(t, "made: date,serial|2024-05-01,S1|2024-05-01,S2", "sold: date,serial|2024-05-02,S1|2024-05-03,S1|2024-05-03,S2", "returned: date,count|2024-05-09,1")
	if doubted, rows := f.Ledger().Doubted(); doubted != 1 || rows != 6 || !f.Ledger().InDoubt.Has(f.Records.Sold[1].Leaf) {
		t.Error(doubted, rows, f.Breaches())
	}
}
