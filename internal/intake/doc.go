// Package intake answers what the rows of somebody else's table are as rows of this folder: a CSV file or a spreadsheet of any layout
// becomes records, or lines of the bill of materials.
//
// Prepare reads the file, finds its header, reads every cell and checks every row as it would be recorded; Plan.Page shows what would be
// done; Plan.Write does it. Nothing is written before Write, and Write writes all of the plan or nothing.
//
// # Opinions
//
// Nothing is guessed that can be read in two ways: 03/04/2021, "1,234", "$5" and a time without a unit are asked for, unless another cell
// of the file decides. Two-digit years are 20yy. A column that looks like names, addresses or messages stops the whole import until it is
// dropped by name. A row that is in the folder already is not taken again; two rows are equal if they agree in every column that the file gives.
//
// # What it leaves out
//
// Macros and links of a workbook are never touched. A formula without a saved value is computed only where all of its sheet are simple, few
// and not circular. What would take more memory or time than a maker's table does is refused: see the limits in file.go. Password-protected workbooks and the formats before 2007 are refused. Header words are
// known in English only; any other column is given with Map.
//
// Sources: RFC 4180 for CSV; ECMA-376, part 1, 18.3 (sheets), 18.17.4.1 (dates as numbers, the 1900 and the 1904 system); ISO 8601 for dates;
// ISO 4217 for currencies. The header words are a list of our own: common practice, no source.
package intake
