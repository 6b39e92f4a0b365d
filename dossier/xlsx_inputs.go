package dossier

import (
	"bytes"
	"fmt"
	"slices"

	"github.com/xuri/excelize/v2"
)

// openCells are cells that take the same input.
type openCells struct {
	in    Input
	areas []openArea
}

// openArea is a row of cells beside each other.
type openArea struct{ row, from, to int }

// input notes a cell that may be typed into.
func (s *xlsxSheet) input(col, row int, in Input) {
	i, known := s.inputAt[in]
	if !known {
		i = len(s.inputs)
		s.inputs = append(s.inputs, openCells{in: in})
		if s.inputAt == nil {
			s.inputAt = map[Input]int{}
		}
		s.inputAt[in] = i
	}
	areas := &s.inputs[i].areas
	if n := len(*areas) - 1; n >= 0 && (*areas)[n].row == row && (*areas)[n].to == col-1 {
		(*areas)[n].to = col
		return
	}
	*areas = append(*areas, openArea{row, col, col})
}

// The lengths of what a program shows beside a cell, in characters.
const (
	mostInputTitle = 32
	mostInputText  = 255
	mostErrorText  = 225
)

// validations says what each open cell takes and where its value comes from.
func (x *xlsxWriter) validations(s *xlsxSheet) error {
	for _, o := range s.inputs {
		dv := excelize.NewDataValidation(true)
		for _, a := range o.areas {
			area := cellName(a.from, a.row)
			if a.to > a.from {
				area += ":" + cellName(a.to, a.row)
			}
			dv.SetSqref(area)
		}
		words, err := setRange(dv, o.in)
		if err != nil {
			return err
		}
		dv.SetInput(cutText(o.in.Title, mostInputTitle), cutText(joined(". ", words, o.in.Source), mostInputText))
		dv.SetError(excelize.DataValidationErrorStyleStop, cutText(o.in.Title, mostInputTitle), cutText("This cell takes "+words+".", mostErrorText))
		if err := x.f.AddDataValidation(s.name, dv); err != nil {
			return err
		}
	}
	return nil
}

// setRange sets the values that an input takes and returns them in words.
func setRange(dv *excelize.DataValidation, in Input) (words string, err error) {
	const decimal = excelize.DataValidationTypeDecimal
	switch {
	case in.Most > 0 && in.Above:
		dv.Type = "custom"
		return "", fmt.Errorf("input %q: a bound that is not taken and an upper one", in.Title)
	case in.Most > 0:
		return fmt.Sprintf("a number from %g to %g", in.Least, in.Most), dv.SetRange(in.Least, in.Most, decimal, excelize.DataValidationOperatorBetween)
	case in.Above:
		return fmt.Sprintf("a number above %g", in.Least), dv.SetRange(in.Least, in.Least, decimal, excelize.DataValidationOperatorGreaterThan)
	}
	return fmt.Sprintf("a number, %g or more", in.Least), dv.SetRange(in.Least, in.Least, decimal, excelize.DataValidationOperatorGreaterThanOrEqual)
}

// cutText fits a text into what a program shows.
func cutText(s string, most int) string {
	rs := []rune(printable(s))
	if len(rs) > most {
		rs = append(rs[:most-1], '…')
	}
	return string(rs)
}

// definedName is a name for cells in formulas, or with a sheet for what is
// printed of it.
type definedName struct {
	name, refersTo string
	of             *xlsxSheet // nil: of the whole workbook
}

// names gives cells their names.
func (x *xlsxWriter) names() {
	for _, s := range x.sheets {
		for _, p := range s.tables {
			for i, r := range p.t.Rows {
				for j, c := range r.Cells {
					if c.Name == "" {
						continue
					}
					place := fmt.Sprintf("%s!$%s$%d", sheetRef(s.name), columnName(p.first[j]), p.rows[i])
					x.defined = append(x.defined, definedName{name: c.Name, refersTo: place})
				}
			}
		}
	}
}

// withNames puts the names behind the list of sheets in the file of the workbook:
// the library compares each new name with all it has.
func (x *xlsxWriter) withNames(workbook []byte) ([]byte, error) {
	const end = "</sheets>"
	before, after, ok := bytes.Cut(workbook, []byte(end))
	if !ok {
		return nil, fmt.Errorf("no %s in the workbook", end)
	}
	b := append(slices.Clone(before), end+"<definedNames>"...)
	for _, n := range x.defined {
		scope := ""
		if n.of != nil {
			scope = fmt.Sprintf(` localSheetId="%d"`, n.of.number-1)
		}
		b = fmt.Appendf(b, `<definedName name="%s"%s>%s</definedName>`, n.name, scope, xmlText(n.refersTo))
	}
	return append(append(b, "</definedNames>"...), after...), nil
}

// protect guards a sheet from slips. There is no password: whoever means to
// change more switches it off.
func (x *xlsxWriter) protect(sheet string) error {
	return x.f.ProtectSheet(sheet, &excelize.SheetProtectionOptions{SelectLockedCells: true, SelectUnlockedCells: true,
		FormatCells: true, FormatColumns: true, FormatRows: true, Sort: true, AutoFilter: true, EditObjects: true})
}
