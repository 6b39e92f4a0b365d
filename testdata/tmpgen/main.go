package main

import (
	"bufio"
	"fmt"
	"os"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// spec: "## sheet [hidden]", rows of cells parted by "|"; directives ".hiderow N", ".hidecol C", ".merge A1:B2", ".note B3 text", ".pct C"
func main() {
	f := excelize.NewFile()
	in, _ := os.Open(os.Args[1])
	sc := bufio.NewScanner(in)
	sheet, row := "", 0
	first := true
	strike, _ := f.NewStyle(&excelize.Style{Font: &excelize.Font{Strike: true}})
	pct, _ := f.NewStyle(&excelize.Style{NumFmt: 10})
	for sc.Scan() {
		s := sc.Text()
		switch {
		case strings.HasPrefix(s, "## "):
			name := strings.TrimSuffix(s[3:], " hidden")
			if first {
				f.SetSheetName("Sheet1", name)
			} else {
				f.NewSheet(name)
			}
			first = false
			sheet, row = name, 0
			if strings.HasSuffix(s, " hidden") {
				defer func(n string) {}(name)
				f.SetSheetVisible(name, false)
			}
		case strings.HasPrefix(s, ".hiderow "):
			n, _ := strconv.Atoi(s[9:])
			f.SetRowVisible(sheet, n, false)
		case strings.HasPrefix(s, ".hidecol "):
			f.SetColVisible(sheet, s[9:], false)
		case strings.HasPrefix(s, ".merge "):
			p := strings.Split(s[7:], ":")
			f.MergeCell(sheet, p[0], p[1])
		case strings.HasPrefix(s, ".note "):
			p := strings.SplitN(s[6:], " ", 2)
			f.AddComment(sheet, excelize.Comment{Cell: p[0], Author: "me", Paragraph: []excelize.RichTextRun{{Text: p[1]}}})
		case strings.HasPrefix(s, ".pct "):
			f.SetColStyle(sheet, s[5:], pct)
			for r := 1; r <= row; r++ {
				f.SetCellStyle(sheet, s[5:]+strconv.Itoa(r), s[5:]+strconv.Itoa(r), pct)
			}
		default:
			row++
			if strings.TrimSpace(s) == "" {
				continue
			}
			for i, c := range strings.Split(s, "|") {
				c = strings.TrimSpace(c)
				if c == "" {
					continue
				}
				ref, _ := excelize.CoordinatesToCellName(i+1, row)
				st := strings.HasPrefix(c, "~")
				c = strings.TrimPrefix(c, "~")
				if strings.HasPrefix(c, "=") {
					fv := strings.Split(c, "^")
					if len(fv) > 1 {
						x, _ := strconv.ParseFloat(fv[1], 64)
						f.SetCellValue(sheet, ref, x)
					}
					f.SetCellFormula(sheet, ref, fv[0][1:])
				} else if x, err := strconv.ParseFloat(c, 64); err == nil {
					f.SetCellValue(sheet, ref, x)
				} else {
					f.SetCellValue(sheet, ref, strings.TrimPrefix(c, "'"))
				}
				if st {
					f.SetCellStyle(sheet, ref, ref, strike)
				}
			}
		}
	}
	if err := f.SaveAs(os.Args[2]); err != nil {
		fmt.Println(err)
	}
}
