package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// arrows says which of our packages each package may import. Anything else is a
// way back or a short cut.
var arrows = map[string][]string{
	"dossier/document/sheet/deepcopy": {}, // a module of its own, which go.mod puts in place of a library

	// floor 1
	"calc/law/data":                 {},
	"dossier/answer/answertest":     {},
	"dossier/edit":                  {},
	"dossier/memory":                {},
	"dossier/parallel":              {},
	"dossier/transcribe/lexicon":    {},
	"dossier/workshop/workshoptest": {},
	"ingredients/exact":             {},
	"ingredients/namelist":          {},
	"ingredients/pattern":           {},
	"ingredients/sign":              {},
	"templates":                     {},
	"testdata":                      {},
	"testdata/formulas/judge":       {},
	"testdata/inbox":                {},
	"testdata/lean":                 {},
	"testdata/licences":             {},
	"testdata/mutate":               {},
	"testdata/pdfreader":            {},
	"testdata/papers/score":         {},
	"testdata/published":            {},
	"testdata/rooms":                {},
	"testdata/tablemutate":          {},
	// floor 2
	"testdata/testrun":           {"testdata"},
	"dossier/bench/gate":         {"ingredients/exact"},
	"dossier/store":              {"ingredients/exact", "ingredients/sign"},
	"dossier/transcribe/figure":  {"dossier/transcribe/lexicon", "ingredients/exact"},
	"dossier/transcribe/phrases": {"templates"},
	"dossier/transcribe/pieces":  {"dossier/transcribe/lexicon", "ingredients/exact"},
	"dossier/wanted":             {"ingredients/exact"},
	"ingredients/finding":        {"ingredients/exact"},
	"ingredients/inventory":      {"ingredients/namelist"},
	// floor 3
	"dossier/edit/history": {"dossier/store"},
	"dossier/transcribe/dose": {
		"dossier/transcribe/figure", "dossier/transcribe/lexicon", "dossier/transcribe/phrases",
		"ingredients/exact",
	},
	"dossier/transcribe/paper":   {"dossier/transcribe/lexicon", "dossier/transcribe/phrases"},
	"dossier/transcribe/reading": {"dossier/transcribe/phrases"},
	"dossier/words":              {"ingredients/exact", "ingredients/finding", "ingredients/sign", "templates"},
	"ingredients/names":          {"ingredients/inventory", "ingredients/namelist"},
	"ingredients/source":         {"ingredients/exact", "ingredients/finding", "ingredients/sign"},
	// floor 4
	"calc/law/rows":                 {"ingredients/exact", "ingredients/source"},
	"dossier/batchcode":             {"ingredients/exact", "ingredients/source"},
	"dossier/calendar/ics":          {"dossier/words", "ingredients/exact"},
	"dossier/document":              {"dossier/words", "ingredients/exact", "ingredients/finding"},
	"dossier/photo":                 {"ingredients/exact", "ingredients/finding", "ingredients/source"},
	"dossier/transcribe/cells":      {"dossier/transcribe/lexicon", "dossier/transcribe/paper"},
	"dossier/transcribe/recipe/raw": {"dossier/transcribe/lexicon", "dossier/transcribe/paper"},
	"dossier/words/wordstest":       {"dossier/words", "ingredients/finding"},
	"ingredients": {
		"ingredients/exact", "ingredients/finding", "ingredients/inventory", "ingredients/namelist",
		"ingredients/names", "ingredients/source",
	},
	// floor 5
	"calc/law/claims":         {"calc/law/rows", "ingredients/finding"},
	"calc/law/condition":      {"calc/law/data", "calc/law/rows", "ingredients/exact", "ingredients/source"},
	"calc/law/duties":         {"calc/law/rows", "ingredients/exact"},
	"calc/law/safety":         {"calc/law/rows", "ingredients/exact"},
	"calc/law/rows/rowstest":  {"calc/law/rows"},
	"calc/law/tox":            {"calc/law/rows", "ingredients/exact"},
	"calc/plaintest":          {"ingredients"},
	"dossier/document/layout": {"dossier/document", "dossier/words"},
	"dossier/document/word":   {"dossier/document", "dossier/words"},
	"dossier/transcribe/desk": {
		"dossier/transcribe/cells", "dossier/transcribe/figure", "dossier/transcribe/lexicon",
		"dossier/transcribe/paper", "dossier/transcribe/pieces", "dossier/transcribe/reading",
	},
	"dossier/transcribe/formulation": {
		"dossier/transcribe/dose", "dossier/transcribe/figure", "dossier/transcribe/phrases",
		"dossier/transcribe/recipe/raw", "ingredients/exact",
	},
	"dossier/transcribe/listed": {"ingredients"},
	// floor 6
	"calc/law/annex": {
		"calc/law/condition", "calc/law/rows", "ingredients", "ingredients/exact", "ingredients/finding",
	},
	"dossier/document/chart": {"dossier/document", "dossier/document/layout", "dossier/words"},
	"dossier/document/plain": {
		"dossier/document", "dossier/document/layout", "dossier/words", "ingredients/finding",
	},
	"dossier/document/sheet": {
		"dossier/document", "dossier/document/layout", "dossier/parallel", "dossier/store",
		"dossier/words", "ingredients/exact", "ingredients/finding",
	},
	"dossier/transcribe/certificate": {
		"dossier/transcribe/cells", "dossier/transcribe/desk", "dossier/transcribe/figure",
		"dossier/transcribe/lexicon", "dossier/transcribe/pieces", "dossier/transcribe/reading",
	},
	"dossier/transcribe/composition": {
		"dossier/transcribe/cells", "dossier/transcribe/desk", "dossier/transcribe/figure",
		"dossier/transcribe/lexicon", "dossier/transcribe/phrases", "dossier/transcribe/pieces",
		"dossier/transcribe/reading",
	},
	"dossier/transcribe/draft": {
		"dossier/transcribe/formulation", "dossier/transcribe/lexicon", "ingredients/exact",
		"ingredients/finding",
	},
	"dossier/transcribe/identity": {
		"dossier/transcribe/cells", "dossier/transcribe/desk", "dossier/transcribe/lexicon",
		"dossier/transcribe/paper", "dossier/transcribe/pieces", "dossier/transcribe/reading",
	},
	"dossier/transcribe/recipe/terms": {
		"dossier/transcribe/dose", "dossier/transcribe/figure", "dossier/transcribe/formulation",
		"dossier/transcribe/lexicon", "dossier/transcribe/recipe/raw",
	},
	// floor 7
	"calc/law/trade": {"calc/law/annex", "calc/law/rows", "ingredients", "ingredients/exact"},
	"dossier/document/pdf": {
		"dossier/document", "dossier/document/chart", "dossier/document/layout", "dossier/parallel",
		"dossier/store", "dossier/words", "ingredients/exact", "ingredients/finding",
	},
	"dossier/transcribe/declaration": {
		"calc/law/annex", "dossier/transcribe/cells", "dossier/transcribe/composition",
		"dossier/transcribe/desk", "dossier/transcribe/figure", "dossier/transcribe/lexicon",
		"dossier/transcribe/phrases", "dossier/transcribe/pieces", "dossier/transcribe/reading",
	},
	"dossier/transcribe/recipe/checks": {
		"dossier/transcribe/dose", "dossier/transcribe/figure", "dossier/transcribe/formulation",
		"dossier/transcribe/lexicon", "dossier/transcribe/recipe/terms", "ingredients/exact",
	},
	"dossier/transcribe/recipe/columns": {
		"dossier/transcribe/dose", "dossier/transcribe/figure", "dossier/transcribe/lexicon",
		"dossier/transcribe/recipe/raw", "dossier/transcribe/recipe/terms", "ingredients/exact",
	},
	"dossier/transcribe/recipe/running": {
		"dossier/transcribe/dose", "dossier/transcribe/figure", "dossier/transcribe/formulation",
		"dossier/transcribe/lexicon", "dossier/transcribe/recipe/raw", "dossier/transcribe/recipe/terms",
		"ingredients/exact",
	},
	// floor 8
	"calc/law/table": {
		"calc/law/annex", "calc/law/claims", "calc/law/condition", "calc/law/data", "calc/law/duties",
		"calc/law/rows", "calc/law/safety", "calc/law/trade", "ingredients", "ingredients/exact",
		"ingredients/namelist", "ingredients/names",
	},
	"dossier/document/page": {
		"dossier/document", "dossier/document/chart", "dossier/document/layout", "dossier/document/pdf",
		"dossier/words", "ingredients/exact", "ingredients/finding",
	},
	"dossier/transcribe/properties": {"ingredients/exact",
		"dossier/transcribe/cells", "dossier/transcribe/declaration", "dossier/transcribe/desk",
		"dossier/transcribe/figure", "dossier/transcribe/lexicon", "dossier/transcribe/pieces",
		"dossier/transcribe/reading",
	},
	"dossier/transcribe/recipe/tabular": {
		"dossier/transcribe/dose", "dossier/transcribe/figure", "dossier/transcribe/formulation",
		"dossier/transcribe/lexicon", "dossier/transcribe/recipe/columns",
		"dossier/transcribe/recipe/raw", "dossier/transcribe/recipe/terms", "ingredients/exact",
	},
	// floor 9
	"testdata/ready": {"calc/law/table", "dossier/transcribe/lexicon"},
	"calc/formula": {
		"calc/law/annex", "calc/law/rows", "calc/law/table", "calc/law/trade", "ingredients",
		"ingredients/exact", "ingredients/finding", "ingredients/names",
	},
	"calc/law": {
		"calc/law/annex", "calc/law/claims", "calc/law/condition", "calc/law/duties", "calc/law/rows",
		"calc/law/safety", "calc/law/table", "calc/law/trade", "ingredients", "ingredients/exact",
	},
	"dossier/transcribe/recipe": {
		"dossier/transcribe/dose", "dossier/transcribe/figure", "dossier/transcribe/formulation",
		"dossier/transcribe/lexicon", "dossier/transcribe/paper", "dossier/transcribe/phrases",
		"dossier/transcribe/recipe/checks", "dossier/transcribe/recipe/columns",
		"dossier/transcribe/recipe/raw", "dossier/transcribe/recipe/running",
		"dossier/transcribe/recipe/tabular", "dossier/transcribe/recipe/terms", "ingredients/exact",
	},
	"calc/purpose": {
		"calc/formula", "calc/law", "calc/law/rows", "calc/law/table", "calc/law/trade", "ingredients",
		"ingredients/exact",
	},
	// floor 10
	"calc/ageing": {
		"calc/formula", "calc/law", "calc/law/safety", "calc/law/table", "calc/law/trade",
		"ingredients/exact",
	},
	"calc/formula/formulatest": {
		"calc/formula", "calc/law", "calc/law/condition", "calc/law/rows", "calc/law/table",
		"calc/plaintest", "dossier/words/wordstest", "ingredients", "ingredients/exact",
		"ingredients/finding",
	},
	"calc/limits": {
		"calc/formula", "calc/law", "calc/law/annex", "calc/law/condition", "calc/law/rows",
		"calc/law/table", "calc/law/trade", "calc/purpose", "ingredients", "ingredients/exact",
		"ingredients/finding", "ingredients/names",
	},
	"calc/listing": {
		"calc/formula", "calc/law", "calc/law/annex", "calc/law/rows", "ingredients", "ingredients/exact",
		"ingredients/finding", "ingredients/names",
	},
	"calc/preservation": {
		"calc/formula", "calc/law", "calc/law/rows", "calc/law/safety", "calc/law/table", "ingredients",
		"ingredients/exact", "ingredients/finding",
	},
	"calc/soap": {
		"calc/formula", "calc/law", "calc/law/rows", "calc/law/table", "calc/law/trade", "ingredients",
		"ingredients/exact", "ingredients/finding", "ingredients/inventory",
	},
	"dossier/transcribe": {
		"calc/law", "calc/law/table", "dossier/transcribe/cells", "dossier/transcribe/certificate",
		"dossier/transcribe/composition", "dossier/transcribe/declaration", "dossier/transcribe/desk",
		"dossier/transcribe/figure", "dossier/transcribe/identity", "dossier/transcribe/lexicon",
		"dossier/transcribe/paper", "dossier/transcribe/phrases", "dossier/transcribe/pieces",
		"dossier/transcribe/properties", "dossier/transcribe/reading",
	},
	"testdata/formulas": {
		"dossier/transcribe/formulation", "dossier/transcribe/lexicon", "dossier/transcribe/paper",
		"dossier/transcribe/recipe", "testdata/formulas/judge",
	},
	// floor 11
	"calc/exposure": {
		"calc/formula", "calc/law", "calc/law/rows", "calc/law/safety", "calc/law/table",
		"calc/law/trade", "calc/listing", "ingredients", "ingredients/exact", "ingredients/finding",
		"ingredients/source",
	},
	"calc/otherlaw": {
		"calc/formula", "calc/law", "calc/law/annex", "calc/law/rows", "calc/law/trade", "calc/limits",
		"ingredients/exact", "ingredients/finding",
	},
	"calc/sense": {
		"calc/formula", "calc/law", "calc/law/table", "calc/limits", "calc/purpose", "ingredients/exact", "ingredients/finding",
	},
	"calc/standards": {
		"calc/formula", "calc/law", "calc/law/rows", "calc/law/table", "calc/law/trade", "calc/limits", "calc/purpose",
		"ingredients", "ingredients/exact", "ingredients/finding",
	},
	"testdata/papers": {
		"calc/law/table", "dossier/transcribe", "dossier/transcribe/listed", "dossier/transcribe/paper",
		"testdata/papers/score",
	},
	// floor 12
	"calc": {
		"calc/exposure", "calc/formula", "calc/law", "calc/law/annex", "calc/law/rows", "calc/law/table",
		"calc/limits", "calc/listing", "calc/otherlaw", "calc/preservation", "calc/sense", "calc/soap",
		"calc/standards", "ingredients", "ingredients/exact", "ingredients/finding",
		"ingredients/source",
	},
	// floor 13
	"calc/calctest": {
		"calc", "calc/exposure", "calc/formula", "calc/formula/formulatest", "calc/law", "calc/law/rows",
		"calc/law/table", "ingredients", "ingredients/exact", "ingredients/finding",
	},
	"calc/headroom": {
		"calc", "calc/formula", "calc/law", "calc/limits", "calc/listing", "calc/soap", "calc/standards",
		"ingredients/exact",
	},
	"calc/labelling": {
		"calc", "calc/formula", "calc/law", "calc/law/annex", "calc/law/duties", "calc/law/rows",
		"calc/law/table", "calc/law/trade", "calc/limits", "calc/listing", "ingredients", "ingredients/exact",
		"ingredients/finding",
	},
	"calc/masses": {
		"calc", "calc/formula", "calc/law", "calc/law/rows", "calc/law/table", "calc/law/trade",
		"calc/limits", "calc/listing", "calc/soap", "calc/standards", "ingredients/exact",
		"ingredients/finding",
	},
	"dossier/label/labelsize": {"calc/labelling", "ingredients/exact", "ingredients/source"},
	// floor 14
	"dossier/workshop": {"dossier/label/labelsize",
		"calc/ageing", "calc/formula", "calc/labelling", "calc/law", "calc/law/annex", "calc/law/rows",
		"calc/law/table", "calc/masses", "dossier/batchcode", "dossier/parallel", "dossier/photo",
		"dossier/store", "dossier/words", "ingredients", "ingredients/exact", "ingredients/finding",
		"ingredients/sign", "ingredients/source",
	},
	// floor 15
	"dossier/assess": {
		"calc", "calc/formula", "calc/law", "calc/law/duties", "calc/law/rows", "calc/law/table",
		"dossier/parallel", "dossier/words", "dossier/workshop", "ingredients", "ingredients/exact",
		"ingredients/finding",
	},
	"dossier/assess/assesstest": {"calc/law/table", "dossier/assess", "dossier/workshop", "ingredients/exact"},
	"dossier/document/documenttest": {
		"dossier/document", "dossier/workshop", "ingredients/exact", "ingredients/finding",
		"testdata",
	},
	"dossier/terminal": {
		"dossier/store", "dossier/words", "dossier/workshop", "ingredients/exact", "ingredients/finding",
	},
	"dossier/transcribe/filing": {
		"dossier/edit", "dossier/transcribe/lexicon", "dossier/transcribe/phrases",
		"dossier/transcribe/reading", "dossier/workshop", "ingredients", "ingredients/exact",
		"ingredients/finding",
	},
	// floor 16
	"dossier/answer": {
		"calc/formula", "calc/law/tox", "dossier/assess", "dossier/document", "dossier/document/word",
		"dossier/edit", "dossier/transcribe/paper", "dossier/words", "dossier/workshop",
		"ingredients/exact", "ingredients/finding",
	},
	"dossier/decide": {
		"dossier/assess", "dossier/edit", "dossier/store", "dossier/words", "dossier/workshop",
		"ingredients/exact", "ingredients/finding", "ingredients/source",
	},
	"dossier/evidence": {
		"calc", "calc/formula", "calc/law", "calc/law/rows", "calc/law/table", "calc/law/trade", "dossier/assess",
		"dossier/words", "dossier/workshop", "ingredients", "ingredients/exact", "ingredients/finding",
	},
	"dossier/figures": {
		"calc", "calc/exposure", "calc/formula", "calc/headroom", "calc/law/rows", "calc/limits",
		"calc/listing", "calc/standards", "dossier/assess", "dossier/document", "dossier/store",
		"dossier/words", "dossier/workshop", "ingredients/exact", "ingredients/finding",
	},
	"dossier/show": {
		"calc", "calc/exposure", "calc/formula", "calc/law", "calc/law/duties", "calc/law/rows",
		"calc/law/table", "calc/limits", "calc/listing", "dossier/assess", "dossier/document",
		"dossier/words", "dossier/workshop", "ingredients/exact", "ingredients/finding",
	},
	"dossier/transcribe/told": {
		"dossier/transcribe/filing", "dossier/transcribe/phrases", "dossier/transcribe/reading",
	},
	// floor 17
	"dossier/label": {"ingredients/source", "dossier/label/labelsize",
		"calc", "calc/formula", "calc/labelling", "calc/law", "calc/law/duties", "calc/law/rows",
		"dossier/assess", "dossier/document", "dossier/document/layout", "dossier/document/pdf",
		"dossier/show", "dossier/words", "dossier/workshop", "ingredients/exact", "ingredients/finding",
	},
	"dossier/notice": {
		"calc", "calc/formula", "calc/law", "calc/law/duties", "calc/law/rows", "calc/law/tox",
		"calc/limits", "calc/listing", "calc/standards", "dossier/assess", "dossier/document",
		"dossier/evidence", "dossier/show", "dossier/words", "dossier/workshop", "ingredients",
		"ingredients/exact", "ingredients/finding",
	},
	"dossier/recalc": {
		"calc", "calc/exposure", "calc/formula", "calc/law", "calc/law/rows", "calc/limits",
		"calc/listing", "calc/standards", "dossier/assess", "dossier/document", "dossier/show",
		"dossier/words", "ingredients", "ingredients/exact",
	},
	"dossier/stability": {
		"calc/ageing", "calc/law", "calc/law/table", "dossier/assess", "dossier/calendar/ics",
		"dossier/document", "dossier/evidence", "dossier/show", "dossier/store", "dossier/words",
		"dossier/workshop", "ingredients/exact", "ingredients/finding", "ingredients/source",
	},
	"dossier/stock": {
		"dossier/batchcode", "dossier/decide", "dossier/document", "dossier/edit", "dossier/store",
		"dossier/wanted", "dossier/words", "dossier/workshop", "ingredients", "ingredients/exact",
		"ingredients/finding",
	},
	// floor 18
	"dossier/calendar": {
		"calc/law", "dossier/assess", "dossier/calendar/ics", "dossier/document", "dossier/stability",
		"dossier/stock", "dossier/store", "dossier/words", "dossier/workshop", "ingredients",
		"ingredients/exact", "ingredients/finding",
	},
	"dossier/ready": {
		"calc", "calc/exposure", "calc/formula", "calc/law", "calc/law/claims", "calc/law/rows",
		"calc/law/table", "calc/law/tox", "calc/limits", "dossier/assess", "dossier/evidence",
		"dossier/figures", "dossier/stability", "dossier/words", "dossier/workshop", "ingredients",
		"ingredients/exact", "ingredients/finding",
	},
	"dossier/weigh": {
		"calc", "calc/formula", "calc/law", "calc/law/duties", "calc/law/table", "calc/limits",
		"calc/masses", "calc/sense", "calc/soap", "dossier/assess", "dossier/document",
		"dossier/document/pdf", "dossier/document/sheet", "dossier/show", "dossier/stock",
		"dossier/store", "dossier/words", "dossier/workshop", "ingredients/exact", "ingredients/finding",
	},
	// floor 19
	"dossier/sections": {
		"calc", "calc/ageing", "calc/exposure", "calc/formula", "calc/headroom", "calc/law",
		"calc/law/annex", "calc/law/rows", "calc/law/table", "calc/law/tox", "calc/law/trade", "calc/limits",
		"calc/listing", "calc/masses",
		"calc/soap", "calc/standards", "dossier/assess", "dossier/document", "dossier/evidence",
		"dossier/parallel", "dossier/ready", "dossier/show", "dossier/stability", "dossier/words",
		"dossier/workshop", "ingredients", "ingredients/exact", "ingredients/finding",
		"ingredients/inventory", "ingredients/names", "ingredients/source",
	},
	"dossier/batch": {
		"calc", "calc/formula", "calc/law", "calc/law/rows", "calc/law/table", "calc/law/trade",
		"calc/limits", "calc/listing", "calc/masses", "calc/soap", "dossier/assess",
		"dossier/decide", "dossier/document", "dossier/figures", "dossier/parallel",
		"dossier/show", "dossier/stock", "dossier/store", "dossier/wanted", "dossier/weigh",
		"dossier/words", "dossier/workshop", "ingredients", "ingredients/exact",
		"ingredients/finding", "ingredients/source",
	},
	"dossier/cost": {
		"calc/masses", "calc/soap", "dossier/assess", "dossier/document", "dossier/stock",
		"dossier/weigh", "dossier/words", "dossier/workshop", "ingredients/exact",
	},
	// floor 20
	"dossier/letters": {
		"calc/ageing", "calc/law", "dossier/assess", "dossier/document", "dossier/document/pdf",
		"dossier/document/plain", "dossier/evidence", "dossier/ready", "dossier/sections", "dossier/show",
		"dossier/stability", "dossier/store", "dossier/words", "dossier/workshop", "ingredients",
		"ingredients/exact", "ingredients/finding", "ingredients/source", "templates",
	},
	"dossier/profile": {
		"calc/exposure", "calc/formula", "calc/law", "calc/law/tox", "dossier/document",
		"dossier/sections", "dossier/show", "dossier/words", "ingredients", "ingredients/exact",
	},
	"dossier/flat": {
		"calc/formula", "calc/law/tox", "calc/limits", "dossier/document", "dossier/profile",
		"dossier/recalc", "dossier/sections", "dossier/show", "dossier/words", "ingredients",
	},
	// floor 21
	"dossier/pack": {"dossier/flat", "dossier/label/labelsize",
		"calc", "calc/ageing", "calc/exposure", "calc/formula", "calc/law", "calc/law/rows",
		"calc/law/safety", "calc/law/tox", "calc/limits", "calc/listing", "dossier/answer",
		"dossier/assess", "dossier/document", "dossier/evidence", "dossier/figures", "dossier/label",
		"dossier/parallel", "dossier/photo", "dossier/profile", "dossier/ready", "dossier/recalc",
		"dossier/sections", "dossier/show", "dossier/stability", "dossier/words", "dossier/workshop",
		"ingredients", "ingredients/exact", "ingredients/finding",
	},
	// floor 22
	"dossier": {"calc/law/tox", "calc/law/table", "calc/formula",
		"calc", "calc/law/rows", "dossier/answer", "dossier/assess", "dossier/batch", "dossier/decide",
		"dossier/document/pdf", "dossier/document/sheet", "dossier/document/word", "dossier/label",
		"dossier/pack", "dossier/parallel", "dossier/ready", "dossier/stability", "dossier/stock",
		"dossier/store", "dossier/transcribe/paper", "dossier/words", "dossier/workshop", "ingredients/exact",
		"ingredients/finding", "ingredients/source",
	},
	// floor 23
	"dossier/dossiertest": {"dossier", "dossier/assess", "dossier/assess/assesstest"},
	"dossier/watched": {
		"calc", "calc/formula", "calc/law", "calc/law/table", "dossier", "dossier/assess",
		"dossier/workshop", "ingredients", "ingredients/exact", "ingredients/finding", "ingredients/source",
	},
	// floor 24
	"dossier/bench/frame": {
		"calc/formula", "calc/law", "calc/law/rows", "calc/law/table", "dossier/assess", "dossier/batch",
		"dossier/bench/gate",
		"dossier/decide", "dossier/edit", "dossier/edit/history", "dossier/show", "dossier/watched", "dossier/words",
		"dossier/workshop",
		"ingredients", "ingredients/exact", "ingredients/finding", "ingredients/namelist", "ingredients/source",
	},
	// floor 25
	"dossier/bench/grid": {
		"calc", "calc/exposure", "calc/formula", "calc/headroom", "calc/law/rows", "calc/limits",
		"calc/listing", "dossier/assess", "dossier/bench/frame", "dossier/document", "dossier/edit",
		"dossier/edit/history", "dossier/weigh", "dossier/words", "dossier/workshop", "ingredients", "ingredients/exact",
		"ingredients/finding", "ingredients/source",
	},
	"dossier/bench/incoming": {
		"calc/law/table", "dossier", "dossier/assess", "dossier/bench/frame", "dossier/edit",
		"dossier/edit/history",
		"dossier/transcribe", "dossier/transcribe/filing", "dossier/transcribe/listed",
		"dossier/transcribe/paper", "dossier/transcribe/phrases", "dossier/transcribe/reading",
		"dossier/workshop", "ingredients", "ingredients/exact", "ingredients/finding", "ingredients/source",
	},
	"dossier/bench/material": {
		"calc/law", "calc/law/rows", "calc/law/tox", "dossier/assess", "dossier/bench/frame", "dossier/document",
		"dossier/edit", "dossier/edit/history", "ingredients", "ingredients/exact", "ingredients/finding",
		"ingredients/names",
	},
	"dossier/bench/ownlimits": {
		"calc/law/annex", "dossier/assess", "dossier/bench/frame", "dossier/edit/history", "ingredients/exact",
		"ingredients/finding",
	},
	"dossier/bench/printed": {
		"dossier/assess", "dossier/batch", "dossier/bench/frame", "dossier/calendar", "dossier/cost",
		"dossier/document", "dossier/document/page", "dossier/document/pdf", "dossier/letters",
		"dossier/notice", "dossier/sections", "dossier/stability", "dossier/stock", "dossier/words",
		"dossier/workshop", "ingredients/exact",
	},
	"dossier/bench/recipes": {
		"calc/law", "dossier/bench/frame", "dossier/edit", "dossier/edit/history",
		"dossier/transcribe/draft", "dossier/transcribe/formulation", "dossier/transcribe/lexicon",
		"dossier/transcribe/paper", "dossier/transcribe/recipe", "dossier/workshop", "ingredients/finding",
		"ingredients/source",
	},
	"dossier/bench/records": {
		"dossier/assess", "dossier/bench/frame", "dossier/document", "dossier/document/page",
		"dossier/document/pdf", "dossier/edit", "dossier/edit/history", "dossier/stability",
		"dossier/workshop", "ingredients/finding",
	},
	"dossier/bench/product": {
		"calc", "calc/formula", "calc/law", "calc/law/rows", "dossier", "dossier/answer", "dossier/assess",
		"dossier/bench/frame", "dossier/evidence", "dossier/decide", "dossier/document", "dossier/document/page",
		"dossier/edit",
		"dossier/edit/history", "dossier/label", "dossier/ready", "dossier/store", "dossier/transcribe/paper",
		"dossier/words",
		"dossier/workshop", "ingredients/exact", "ingredients/finding",
	},
	"dossier/bench/scale": {
		"calc/formula", "calc/masses", "dossier/assess", "dossier/batch", "dossier/bench/frame",
		"dossier/document/page", "dossier/edit", "dossier/edit/history", "dossier/stock",
		"dossier/weigh",
		"dossier/workshop", "ingredients/exact", "ingredients/finding", "ingredients/source",
	},
	"dossier/bench/today": {"dossier/words",
		"calc/law", "dossier/assess", "dossier/bench/frame", "dossier/workshop", "ingredients/finding",
	},
	"dossier/bench/year": {
		"dossier", "dossier/bench/frame", "dossier/calendar", "dossier/decide", "dossier/document/page",
		"dossier/edit/history", "dossier/stock", "dossier/weigh", "dossier/workshop", "ingredients",
		"ingredients/exact", "ingredients/finding",
	},
	// floor 26
	"dossier/bench": {
		"calc/law", "calc/law/rows", "calc/law/table", "dossier/bench/frame", "dossier/bench/gate", "dossier/bench/grid",
		"dossier/bench/incoming", "dossier/bench/material", "dossier/bench/ownlimits", "dossier/bench/printed",
		"dossier/bench/product", "dossier/bench/recipes", "dossier/bench/records", "dossier/bench/scale",
		"dossier/bench/today",
		"dossier/bench/year",
		"dossier/edit", "dossier/edit/history", "dossier/watched", "dossier/store",
		"dossier/transcribe/paper", "ingredients/exact", "templates",
	},
	// floor 27
	"cmd/gallipot": {"dossier/transcribe/phrases",
		"calc/formula", "calc/law/rows", "calc/law/table", "dossier", "dossier/answer", "dossier/assess",
		"dossier/batch", "dossier/bench", "dossier/calendar", "dossier/cost", "dossier/decide",
		"dossier/document", "dossier/document/pdf", "dossier/document/plain", "dossier/document/sheet",
		"dossier/edit", "dossier/edit/history", "dossier/figures", "dossier/label", "dossier/letters",
		"dossier/memory", "dossier/notice", "dossier/parallel", "dossier/sections", "dossier/stability", "dossier/stock",
		"dossier/store", "dossier/terminal", "dossier/transcribe", "dossier/transcribe/draft",
		"dossier/transcribe/filing", "dossier/transcribe/formulation", "dossier/transcribe/lexicon",
		"dossier/transcribe/listed", "dossier/transcribe/paper", "dossier/transcribe/reading",
		"dossier/transcribe/recipe", "dossier/transcribe/told", "dossier/weigh", "dossier/words",
		"dossier/workshop", "ingredients/exact", "ingredients/finding", "ingredients/source", "templates",
		"testdata",
	},
	"testdata/samebytes": {"testdata"},
	"testdata/repeats": {
		"calc/law/table", "dossier", "dossier/assess", "dossier/workshop", "ingredients/exact", "testdata",
		"testdata/repeats/probe",
	},
	"testdata/repeats/probe": {},
	"testdata/pictures": {
		"calc/law/table", "dossier", "dossier/assess", "dossier/bench", "dossier/store",
		"dossier/workshop", "ingredients/exact", "testdata",
	},
}

// outside says which other modules each package may import, test files apart.
var outside = map[string][]string{
	"calc/calctest":            {"github.com/stretchr/testify"},
	"calc/formula/formulatest": {"github.com/stretchr/testify"},
	"calc/law/rows/rowstest":   {"github.com/stretchr/testify"},
	"calc/plaintest":           {"github.com/stretchr/testify"},
	"cmd/gallipot": {"github.com/inconshreveable/mousetrap", "github.com/spf13/cobra",
		"github.com/spf13/pflag"},
	"dossier/answer/answertest":     {"github.com/stretchr/testify"},
	"dossier/bench/frame":           {"golang.org/x/image"},
	"dossier/assess/assesstest":     {"github.com/stretchr/testify"},
	"dossier/document/documenttest": {"github.com/stretchr/testify"},
	"dossier/document/layout":       {"golang.org/x/image", "golang.org/x/text"},
	"dossier/document/pdf":          {"codeberg.org/go-pdf/fpdf"},
	"dossier/document/plain":        {"golang.org/x/text"},
	"dossier/document/sheet":        {"github.com/xuri/excelize/v2"},
	"dossier/edit":                  {"go.yaml.in/yaml/v3"},
	"dossier/label":                 {"codeberg.org/go-pdf/fpdf", "golang.org/x/image"},
	"dossier/transcribe/lexicon":    {"golang.org/x/text"},
	"dossier/transcribe/paper": {"github.com/klippa-app/go-pdfium", "github.com/tetratelabs/wazero",
		"github.com/xuri/excelize/v2", "golang.org/x/net", "golang.org/x/text"},
	"ingredients/namelist":    {"golang.org/x/text"},
	"ingredients/source":      {"go.yaml.in/yaml/v3"},
	"testdata/inbox":          {"codeberg.org/go-pdf/fpdf", "github.com/xuri/excelize/v2"},
	"testdata/formulas/judge": {"golang.org/x/text"},
	"testdata/papers/score":   {"golang.org/x/text"},
	"testdata/published":      {"github.com/stretchr/testify"},
}

// impure are packages that calc and all below it must not know: it reads no file, no clock and no
// random number, and prints nothing.
var impure = []string{"os", "io/fs", "time", "math/rand", "math/rand/v2", "log", "net/http"}

func TestImportsFollowTheArrows(t *testing.T) {
	seen := map[string]bool{}
	eachSource(t, func(pkg, file string, imports []string) {
		seen[pkg] = true
		allowed, known := arrows[pkg]
		require.True(t, known, "%s: package %s is not in the table of arrows", file, pkg)
		for _, imp := range imports {
			ours, isOurs := strings.CutPrefix(imp, "gallipot/")
			test := strings.HasSuffix(file, "_test.go")
			switch {
			case isOurs && (ours == pkg || test): // what a test looks at is not what the package rests on
			case ours == "ingredients/pattern": // as the package regexp, of which it is a part
			case isOurs:
				require.Contains(t, allowed, ours, "%s imports %s", file, imp)
			case strings.Contains(strings.Split(imp, "/")[0], ".") && !test:
				require.True(t, slices.ContainsFunc(outside[pkg],
					func(m string) bool { return imp == m || strings.HasPrefix(imp, m+"/") }), "%s imports %s", file, imp)
			case (pkg == "calc" || strings.HasPrefix(pkg,
				"calc/") && pkg != "calc/law/table" && pkg != "calc/law/data" && !strings.HasSuffix(pkg, "test")) && !test:
				require.NotContains(t, impure, imp, "%s", file)
			}
		}
	})
	for pkg := range arrows {
		require.True(t, seen[pkg], "package %s of the table is gone", pkg)
	}
}

func eachSource(t *testing.T, visit func(pkg, file string, imports []string)) {
	root := "../.."
	err := filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(file) != ".go" {
			return err
		}
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		var imports []string
		for _, i := range f.Imports {
			name, err := strconv.Unquote(i.Path.Value)
			if err != nil {
				return err
			}
			imports = append(imports, name)
		}
		rel, err := filepath.Rel(root, file)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		visit(path.Dir(rel), rel, imports)
		return nil
	})
	require.NoError(t, err)
}
