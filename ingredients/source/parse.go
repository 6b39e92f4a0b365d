package source

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/pattern"
	"gallipot/ingredients/sign"
)

// maxDepth bounds nesting. The deepest place of our files, a share inside a
// slot inside a portion, is at depth 9.
const maxDepth = 32

// parse returns the one document of the file, or nil, and what stands in the
// way of reading it.
func (s *Source) parse() (*yaml.Node, []finding.Finding) {
	if s.parsed != nil {
		return s.parsed.root, slices.Clone(s.parsed.findings)
	}
	if len(s.Bytes) > MaxFileBytes {
		return nil, []finding.Finding{s.stop(CodeFileTooLarge, "", exact.Pos{File: s.Name}, finding.With().
			Count("bytes", len(s.Bytes)).Count("most", MaxFileBytes))}
	}
	fs, ok := s.checkCharacters()
	if !ok {
		return nil, fs
	}
	dec := yaml.NewDecoder(bytes.NewReader(s.Bytes))
	root, err := decode(dec)
	if err == nil && len(root.Content) == 1 && root.Content[0].Tag == "!!null" {
		err = io.EOF
	}
	if errors.Is(err, io.EOF) {
		return nil, append(fs, s.stop(CodeUnreadableFile, "empty", exact.Pos{File: s.Name, Line: 1, Col: 1,
			Len: 1}, nil))
	}
	if err == nil {
		var second *yaml.Node
		if second, err = decode(dec); err == nil {
			return nil, append(fs, s.stop(codeSecondDocument, "", exact.Pos{File: s.Name, Line: second.Line, Col: 1,
				Len: 3}, nil))
		}
	}
	if !errors.Is(err, io.EOF) {
		return nil, append(fs, s.syntax(err)...)
	}
	n := root.Content[0]
	if len(fs) == 0 { // else each was reported where it stands
		fs = s.escaped(n, 1, fs)
	}
	fs = s.refuse(n, 1, fs)
	for _, f := range fs {
		if f.Code == codeTooDeep {
			return nil, fs
		}
	}
	return n, fs
}

// decode reads the next document. The parser panics on some broken texts; that
// is one more way for a text to be broken.
func decode(dec *yaml.Decoder) (n *yaml.Node, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%v", r)
		}
	}()
	n = new(yaml.Node)
	err = dec.Decode(n)
	return n, err
}

// refuse reports the devices that make a value depend on another place: a
// reader who sees a line has to see its value.
func (s *Source) refuse(n *yaml.Node, depth int, fs []finding.Finding) []finding.Finding {
	if depth > maxDepth {
		return append(fs, s.stop(codeTooDeep, "", s.pos(n), finding.With().Count("levels", maxDepth)))
	}
	switch {
	case n.Kind == yaml.AliasNode:
		return append(fs, s.stop(codeAlias, "alias", s.pos(n), finding.With().Quote("typed", Clip("*"+n.Value))))
	case n.Anchor != "":
		fs = append(fs, s.stop(codeAlias, "anchor", s.pos(n), finding.With().Quote("typed", Clip("&"+n.Anchor))))
	case n.Style&yaml.TaggedStyle != 0:
		fs = append(fs, s.stop(codeAlias, "tag", s.pos(n), finding.With().Quote("typed", Clip(n.Tag))))
	}
	for i, c := range n.Content {
		if n.Kind == yaml.MappingNode && i%2 == 0 && isMerge(c) {
			fs = append(fs, s.stop(codeAlias, "merge", s.pos(c), nil))
		}
		fs = s.refuse(c, depth+1, fs)
	}
	return fs
}

// escaped reports the characters that no text can hold and that stand in the file as
// an escape, such as "\e" or "\u202e", which only double quotes know.
func (s *Source) escaped(n *yaml.Node, depth int, fs []finding.Finding) []finding.Finding {
	if depth > maxDepth || len(fs) >= maxCharacterFindings {
		return fs
	}
	if n.Kind == yaml.ScalarNode && n.Style&yaml.DoubleQuotedStyle != 0 {
		for _, r := range n.Value {
			if !sign.Refused(r) {
				continue
			}
			form := "control"
			if sign.Invisible(r) {
				form = "invisible"
			}
			fs = append(fs, s.stop(codeBadCharacter, form, s.pos(n), finding.With().
				Name("character", fmt.Sprintf("%U", r))))
			break
		}
	}
	for _, c := range n.Content {
		fs = s.escaped(c, depth+1, fs)
	}
	return fs
}

func isMerge(key *yaml.Node) bool { return key.Kind == yaml.ScalarNode && key.Tag == "!!merge" }

var parserLine = pattern.New(`line (\d+): (.*)`)

// syntax says in plain words why a file does not parse. The parser's own
// message names a line that is often not the faulty one and no column, so the
// text is searched for the usual mistakes first.
func (s *Source) syntax(err error) []finding.Finding {
	if fs := lintText(s); len(fs) > 0 {
		return fs
	}
	line, text := 1, err.Error()
	if m := parserLine.FindStringSubmatch(text); m != nil {
		line, _ = strconv.Atoi(m[1])
		text = m[2]
		if strings.HasPrefix(text, "did not find expected") {
			line++ // the parser counts these from 0
		}
	}
	line = max(1, min(line, len(s.Lines)))
	pos := exact.Pos{File: s.Name, Line: line, Col: 1 +
		len(s.Line(line)) - len(strings.TrimLeft(s.Line(line), " "))}
	pos.Len = max(len([]rune(strings.TrimSpace(s.Line(line)))), 1)
	return []finding.Finding{s.stop(codeSyntax, "", pos, nil)}
}
