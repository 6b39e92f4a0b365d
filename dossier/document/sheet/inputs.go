package sheet

import (
	"bytes"
	"fmt"
	"slices"

	"github.com/xuri/excelize/v2"

	"gallipot/dossier/document"
	"gallipot/dossier/words"
)

// input notes a cell that may be typed into.
func (s *xlsxSheet) input(col, row int, in document.Input) {
	i, known := s.inputAt[in]
	if !known {
		i = len(s.inputs)
		s.inputs = append(s.inputs, openCells{in: in})
		if s.inputAt == nil {
			s.inputAt = map[document.Input]int{}
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

// validations says what each open cell takes and where its value comes from.
func (x *XLSXWriter) validations(s *xlsxSheet) error {
	for _, o := range s.inputs {
		dv := excelize.NewDataValidation(true)
		for _, a := range o.areas {
			area := CellName(a.from, a.row)
			if a.to > a.from {
				area += ":" + CellName(a.to, a.row)
			}
			dv.SetSqref(area)
		}
		phrases, err := setRange(dv, o.in)
		if err != nil {
			return err
		}
		dv.SetInput(document.CutText(o.in.Title, document.MostInputTitle),
			document.CutText(words.Joined(". ", phrases, o.in.Source), document.MostInputText))
		dv.SetError(excelize.DataValidationErrorStyleStop, document.CutText(o.in.Title, document.MostInputTitle),
			document.CutText("This cell takes "+phrases+".", document.MostErrorText))
		if err := x.f.AddDataValidation(s.Name, dv); err != nil {
			return err
		}
	}
	return nil
}

// setRange sets the values that an input takes and returns them in words.
func setRange(dv *excelize.DataValidation, in document.Input) (words string, err error) {
	const decimal = excelize.DataValidationTypeDecimal
	switch {
	case in.Most > 0 && in.Above:
		dv.Type = "custom"
		return "", fmt.Errorf("input %q: a bound that is not taken and an upper one", in.Title)
	case in.Most > 0:
		return fmt.Sprintf("a number from %g to %g", in.Least, in.Most), dv.SetRange(in.Least, in.Most, decimal,
			excelize.DataValidationOperatorBetween)
	case in.Above:
		return fmt.Sprintf("a number above %g", in.Least), dv.SetRange(in.Least, in.Least, decimal,
			excelize.DataValidationOperatorGreaterThan)
	}
	return fmt.Sprintf("a number, %g or more", in.Least), dv.SetRange(in.Least, in.Least, decimal,
		excelize.DataValidationOperatorGreaterThanOrEqual)
}

// names gives cells their names.
func (x *XLSXWriter) names() {
	for _, s := range x.sheets {
		for _, p := range s.tables {
			for i, r := range p.T.Rows {
				for j, c := range r.Cells {
					if c.Name == "" {
						continue
					}
					place := fmt.Sprintf("%s!$%s$%d", sheetRef(s.Name), columnName(p.First[j]), p.Rows[i])
					x.defined = append(x.defined, definedName{name: c.Name, refersTo: place})
				}
			}
		}
	}
}

// withNames puts the names behind the list of sheets in the file of the workbook:
// the library compares each new name with all it has.
func (x *XLSXWriter) withNames(workbook []byte) ([]byte, error) {
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
		b = fmt.Appendf(b, `<definedName name="%s"%s>%s</definedName>`, n.name, scope, document.XMLText(n.refersTo))
	}
	return append(append(b, "</definedNames>"...), after...), nil
}

// protect guards a sheet from slips. There is no password: whoever means to
// change more switches it off.
func (x *XLSXWriter) protect(sheet string) error {
	return x.f.ProtectSheet(sheet, &excelize.SheetProtectionOptions{SelectLockedCells: true,
		SelectUnlockedCells: true,
		FormatCells:         true, FormatColumns: true, FormatRows: true, Sort: true, AutoFilter: true,
		EditObjects: true})
}
