package dossier

import (
	"encoding/json"
	"io"

	"gallipot/calc/formula"
	"gallipot/dossier/answer"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
)

// SayValid words what an answer is valid for, or not.
func SayValid(x workshop.Valid) string { return words.Joined(": ", x.ID+", "+x.Verdict, x.Condition) }

// SayJudged words the figures that an assessor put in place of others: points of departure
// in mg/kg bw/d, absorption in %.
func SayJudged(j *formula.Judged) string {
	pod, absorption, target := "", "", ""
	if j.PoD != nil {
		pod = words.Joined(" ", "point of departure", j.PoD.Exact(), "mg/kg bw/d", j.PoDType, j.Route)
	}
	if j.AbsorptionPct != nil {
		absorption = "absorption " + j.AbsorptionPct.Exact() + " %"
	}
	if j.Target != nil {
		target = "target " + j.Target.Exact()
	}
	return words.Joined("; ", j.INCI+": "+words.Joined(", ", pod, absorption, target), j.Reason)
}

// replyJSON is what was understood of an answer; its keys are stable.
type replyJSON struct {
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

// WriteJSON prints what was understood of an answer.
func (r *Reply) WriteJSON(to io.Writer) error {
	x := r.Reading
	out := replyJSON{Product: r.Product.ID, Fingerprint: r.Figures.Fingerprint,
		Assessor: x.Record.Assessor, Dated: x.Record.Dated.String(),
		Conclusion: x.Record.Conclusion, Complete: len(x.Refused) == 0 &&
			len(x.Record.Lacks()) == 0, Answered: x.Answered, Values: []string{},
		Accepted: len(x.Record.Accepted), Refused: faultsJSON(x.Refused), Notes: faultsJSON(x.Notes)}
	for _, j := range x.Record.Values {
		out.Values = append(out.Values, SayJudged(&j))
	}
	e := json.NewEncoder(to)
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
