package paper

import (
	"encoding/base64"
	"io"
	"mime"
	"mime/multipart"
	"mime/quotedprintable"
	"net/mail"
	"strings"

	"gallipot/dossier/transcribe/lexicon"

	"golang.org/x/text/encoding/ianaindex"
)

// mailBody unpacks a mail that is coded for sending. ok is false for a mail that
// was pasted as text: that is read as it stands, so that its lines keep their
// numbers.
func mailBody(f *File, text string) (body string, web, ok bool) {
	m, err := mail.ReadMessage(strings.NewReader(strings.ReplaceAll(text, "\n", "\r\n")))
	if err != nil || m.Header.Get("Content-Type") == "" {
		return "", false, false
	}
	plain, webbed := mailParts(f, m.Header.Get("Content-Type"), m.Header.Get("Content-Transfer-Encoding"),
		m.Body, 0)
	head := ""
	for _, k := range []string{"From", "To", "Date", "Subject"} {
		if v := m.Header.Get(k); v != "" {
			if d, err := new(mime.WordDecoder).DecodeHeader(v); err == nil {
				v = d
			}
			head += k + ": " + v + "\n"
		}
	}
	if plain == "" && webbed != "" {
		return "<pre>" + strings.NewReplacer("&", "&amp;", "<", "&lt;").Replace(head) + "</pre>" + webbed,
			true, true
	}
	return head + "\n" + plain, false, true
}

// markOlder marks as quoted what stands below the head of an older mail that is not marked line
// by line: its sender and, close below, its date or subject.
func markOlder(lines []Line) {
	const first, below = 6, 4 // the lines of its own head; those of a head
	for i := first; i < len(lines); i++ {
		if lines[i].Quote > 0 || !olderHead().MatchString(lines[i].Text(" ")) {
			continue
		}
		heads := 0
		for _, l := range lines[i+1 : min(len(lines), i+1+below)] {
			if olderHead().MatchString(l.Text(" ")) || olderTitle().MatchString(l.Text(" ")) {
				heads++
			}
		}
		if heads < 2 {
			continue
		}
		for k := i; k < len(lines); k++ {
			lines[k].Quote = max(lines[k].Quote, 1)
		}
		return
	}
}

// olderHead is a line of the head of a mail, olderTitle that of its subject.
var (
	olderHead  = lexicon.Pattern(`(?i)^\s*\*?(?:<<mail head>>)\s*:\*?\s*\S`)
	olderTitle = lexicon.Pattern(`(?i)^\s*\*?(?:<<mail subject>>)\s*:`)
)

func mailParts(f *File, kind, coding string, body io.Reader, depth int) (plain, web string) {
	media, params, err := mime.ParseMediaType(kind)
	if err != nil {
		media = "text/plain"
	}
	switch {
	case strings.HasPrefix(media, "multipart/") && depth < 5:
		r := multipart.NewReader(body, params["boundary"])
		for range 200 {
			p, err := r.NextRawPart()
			if err != nil {
				break
			}
			if name := p.FileName(); name != "" {
				f.caution("attachment", 1, "", name)
				continue
			}
			a, b := mailParts(f, p.Header.Get("Content-Type"), p.Header.Get("Content-Transfer-Encoding"), p,
				depth+1)
			plain, web = plain+a, web+b
		}
	case media == "text/html":
		web = mailText(params["charset"], coding, body)
	case media == "text/plain" || media == "":
		plain = mailText(params["charset"], coding, body)
	}
	return plain, web
}

func mailText(charset, coding string, body io.Reader) string {
	switch strings.ToLower(coding) {
	case "base64":
		body = base64.NewDecoder(base64.StdEncoding, body)
	case "quoted-printable":
		body = quotedprintable.NewReader(body)
	}
	data, _ := io.ReadAll(body) // what is damaged ends the text
	if enc, err := ianaindex.MIME.Encoding(charset); err == nil && enc != nil {
		if out, err := enc.NewDecoder().Bytes(data); err == nil {
			return unifiedLines(string(out))
		}
	}
	text, _ := decode(data)
	return text
}
