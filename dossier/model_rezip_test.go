package dossier

import (
	"archive/zip"
	"bytes"
	"io"
	"testing"

	"github.com/stretchr/testify/require"
)

// rezip passes every file of a workbook through a function.
func rezip(t *testing.T, data []byte, change func(name string, content []byte) []byte) []byte {
	t.Helper()
	in, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	var out bytes.Buffer
	zw := zip.NewWriter(&out)
	for _, f := range in.File {
		content, err := readZipped(f)
		require.NoError(t, err)
		w, err := zw.Create(f.Name)
		require.NoError(t, err)
		_, err = w.Write(change(f.Name, content))
		require.NoError(t, err)
	}
	require.NoError(t, zw.Close())
	return out.Bytes()
}

func readZipped(f *zip.File) ([]byte, error) {
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	return io.ReadAll(r)
}
