package live

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/creack/pty"
)

// plug makes a pseudo-terminal, whose one end stands for the port at path and
// whose other end for the device.
func plug(t *testing.T, path string) (device *os.File) {
	t.Helper()
	if runtime.GOOS != "linux" {
		t.Skip("needs the pseudo-terminals of Linux")
	}
	device, port, err := pty.Open()
	if err != nil {
		t.Skip("this machine gives no pseudo-terminal: ", err)
	}
	port.Close() // the program under test opens it by its name
	os.Remove(path)
	if err := os.Symlink(port.Name(), path); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { device.Close() })
	return device
}

func say(t *testing.T, device *os.File, text string) {
	t.Helper()
	if _, err := device.WriteString(text); err != nil {
		t.Fatal(err)
	}
}

func TestSerialPortIsReadThroughUnplugging(t *testing.T) {
	path := filepath.Join(t.TempDir(), "port")
	device := plug(t, path)
	h := listening(t, &Serial{Port: path, Baud: DefaultBaud, Clock: NewClock()})
	h.until(t, "the connection", func() bool { return len(h.changes) == 1 })
	say(t, device, "m=121.5\nbottom=3.25 top=17.9\r\nbottom=3.26 top=")
	h.until(t, "the first whole line", func() bool { return len(h.messages) == 1 })
	say(t, device, "17.8\r\n\xff\x00\x13\r\n")
	h.until(t, "noise as a line", func() bool { return len(h.messages) == 3 })
	say(t, device, "bottom=3.27 to") // cut off by the unplugging
	device.Close()
	os.Remove(path)
	h.until(t, "the loss", func() bool { return len(h.changes) == 2 })
	device = plug(t, path)
	h.until(t, "the second connection", func() bool { return len(h.changes) == 3 })
	say(t, device, "p=17.7\nbottom=3.30 top=17.6\n")
	h.until(t, "a line after it", func() bool { return len(h.messages) == 4 })

	if want := "bottom=3.25 top=17.9|bottom=3.26 top=17.8|\xff\x00\x13|bottom=3.30 top=17.6"; h.texts() != want {
		t.Errorf("heard %q, want %q", h.texts(), want)
	}
	lost, again := h.changes[1], h.changes[2]
	if !h.changes[0].First || lost.Up || lost.Cause == nil || !again.Up || again.First || again.After <= 0 {
		t.Errorf("changes %+v", h.changes)
	}
	if !h.messages[0].Fresh || h.messages[1].Fresh || !h.messages[3].Fresh {
		t.Error("the first line of each connection must be told from the rest")
	}
}

func TestPortThatIsNotThereIsAnErrorAtOnce(t *testing.T) {
	s := &Serial{Port: filepath.Join(t.TempDir(), "none"), Baud: DefaultBaud, Clock: NewClock()}
	h := newHeard()
	if err := Listen(t.Context(), s, SerialWait, false, h.hear, h.tell); !errors.Is(err, ErrPort) {
		t.Errorf("%v, want %v", err, ErrPort)
	}
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	s.Port = file
	if err := Listen(t.Context(), s, SerialWait, false, h.hear, h.tell); err == nil || !strings.Contains(err.Error(), "no serial port") {
		t.Errorf("a plain file: %v", err)
	}
}
