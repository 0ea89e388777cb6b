package main

import (
	"os"
	"path/filepath"
	"runtime"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A folder that may not be written to, and a file that may not: the old file stays. The superuser may write everywhere, so this thread
// takes the file rights of nobody for the time being.
func TestReadOnlyFolderAndFile(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "folder")
	require.NoError(t, os.Mkdir(folder, 0o755))
	path := filepath.Join(folder, "out.txt")
	require.NoError(t, os.WriteFile(path, []byte("this stays"), 0o644))
	require.NoError(t, os.Chmod(folder, 0o555))
	defer os.Chmod(folder, 0o755)
	if os.Geteuid() == 0 {
		for dir := folder; dir != "/"; dir = filepath.Dir(dir) { // nobody must be able to come here
			info, err := os.Stat(dir)
			require.NoError(t, err)
			if info.Mode()&0o005 != 0o005 {
				require.NoError(t, os.Chmod(dir, info.Mode()|0o055))
			}
			if dir == os.TempDir() {
				break
			}
		}
		const nobody = 65534
		runtime.LockOSThread()
		defer runtime.UnlockOSThread()
		require.NoError(t, syscall.Setfsuid(nobody))
		defer syscall.Setfsuid(0)
	}
	for _, name := range []string{path, filepath.Join(folder, "new.txt")} {
		err := writeFile(name, []byte("new"))
		require.Error(t, err)
		assert.Equal(t, "cannot write "+name+": permission denied", err.Error())
	}
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "this stays", string(data))
	left, err := os.ReadDir(folder)
	require.NoError(t, err)
	assert.Len(t, left, 1)
}
