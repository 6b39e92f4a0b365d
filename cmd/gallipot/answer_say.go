package main

import (
	"encoding/json"

	"gallipot/calc/formula"
	"gallipot/dossier"
	"gallipot/dossier/answer"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
)

func sayValid(x workshop.Valid) string { return words.Joined(": ", x.ID+", "+x.Verdict, x.Condition) }

func sayJudged(j *formula.Judged) string {
	pod, absorption, target := "", "", ""
	if j.PoD != nil {
		pod = words.Joined(" ", "PoD", j.PoD.Exact(), "mg/kg bw/d", j.PoDType, j.Route)
	}
	if j.AbsorptionPct != nil {
		absorption = "absorption " + j.AbsorptionPct.Exact() + " %"
	}
	if j.Target != nil {
		target = "target " + j.Target.Exact()
	}
	return j.INCI + ": " + words.Joined(", ", pod, absorption, target) + "; " + j.Reason
}

// answerJSON is what was understood of an answer; its keys are stable.
type answerJSON struct {
	Product     string      `json:"product"`
	Fingerprint string      `json:"fingerprint"`
	Assessor    string      `json:"assessor"`
	Dated       string      `json:"dated"`
	Conclusion  string      `json:"conclusion"`
	Complete    bool        `json:"complete"`
	Answered    int         `json:"places_answered"`
	Values      []string    `json:"values_replaced"`
	Accepted    int         `json:"points_accepted"`
	Refused     []faultJSON `json:"refused"`
	Notes       []faultJSON `json:"notes"`
}

type faultJSON struct {
	Row     string `json:"row"`
	Code    string `json:"code"`
	Message string `json:"message"`
	Fix     string `json:"fix"`
}

// printAnswerJSON prints what was understood; it writes nothing else.
func (c *command) printAnswerJSON(reply *dossier.Reply) error {
	r := reply.Reading
	out := answerJSON{Product: reply.Product.ID, Fingerprint: reply.Figures.Fingerprint,
		Assessor: r.Record.Assessor, Dated: r.Record.Dated.String(),
		Conclusion: r.Record.Conclusion, Complete: len(r.Refused) == 0 &&
			len(r.Record.Lacks()) == 0, Answered: r.Answered, Values: []string{},
		Accepted: len(r.Record.Accepted), Refused: faultsJSON(r.Refused), Notes: faultsJSON(r.Notes)}
	for _, j := range r.Record.Values {
		out.Values = append(out.Values, sayJudged(&j))
	}
	if len(r.Refused) > 0 {
		c.exit = 1
	}
	e := json.NewEncoder(c.ui.Out)
	e.SetIndent("", "  ")
	return e.Encode(out)
}

func faultsJSON(list []answer.Fault) []faultJSON {
	out := []faultJSON{}
	for _, f := range list {
		out = append(out, faultJSON{f.Row, f.Code, f.Message(), f.Fix()})
	}
	return out
}
