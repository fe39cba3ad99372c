package cli

import (
	"crypto/tls"
	"errors"
	"net"
	"os"
	"strconv"
	"syscall"

	"github.com/spf13/cobra"

	"meltspan/web"
)

const defaultPort = 8737

// pageFlags are those of the page command.
type pageFlags struct {
	address, book    string
	certificate, key string
	port             int
	open             bool
}

func (s *session) pageCommand() *cobra.Command {
	var f pageFlags
	c := &cobra.Command{
		Use:   "page [FOLDER]",
		Short: "serve the page at the bench, for a browser on this machine",
		Long: "Serves a page on which a design is changed with its answer at hand, its section, its printed parts and its trials are looked at, " +
			"a running trial is followed, and searches are made. It works on the files and the notebook of FOLDER, the working folder unless given, and on nothing outside of it. " +
			"Open the printed address in a browser; Ctrl-C ends it.\n\n" +
			"Only this machine can reach the page. With --listen-beyond, others in the network can as well: the address then carries a key, and what is sent is encrypted, " +
			"with a certificate that is made on first use and kept for you, or with that of --certificate and --key. Nobody vouches for one of our own, and browsers say so: " +
			"compare the fingerprint that they show with the one that is printed before you go on.",
		Example: "  meltspan page\n  meltspan page bench --port 9000\n  meltspan page bench --listen-beyond --address 192.168.1.20\n",
		Args:    arguments(0, 1, "one folder", `"meltspan page" or "meltspan page FOLDER"`),
		RunE: func(cmd *cobra.Command, args []string) error {
			folder := "."
			if len(args) > 0 {
				folder = args[0]
			}
			if f.port < 0 || f.port > 65535 {
				return wrong("0 to 65535; 0 takes any that is free", "--port cannot be %d", f.port)
			}
			ip := net.ParseIP(f.address)
			switch {
			case ip == nil:
				return wrong("a number such as 127.0.0.1, 192.168.1.20 or 0.0.0.0", "--address cannot be %s", quoted(f.address))
			case !ip.IsLoopback() && !f.open:
				return wrong("--listen-beyond as well, if others shall reach the page", "--address %s is not of this machine alone", f.address)
			case ip.IsLoopback() && f.open:
				return wrong("such as --address 0.0.0.0, with --listen-beyond", "--listen-beyond needs an --address that others can reach")
			case (f.certificate == "") != (f.key == ""):
				return wrong("--certificate FILE --key FILE", "a certificate goes with its private key")
			case f.certificate != "" && !f.open:
				return wrong("no --certificate, or --listen-beyond as well", "--certificate encrypts what goes to other machines, and none can reach the page")
			}
			return s.servePage(folder, ip, &f)
		},
	}
	flags := c.Flags()
	flags.StringVar(&f.address, "address", "127.0.0.1", "listen on the `IP`")
	flags.IntVar(&f.port, "port", defaultPort, "listen on port `N`; 0 takes any that is free")
	flags.BoolVar(&f.open, "listen-beyond", false, "let others in the network reach the page, encrypted and with a key")
	flags.StringVar(&f.certificate, "certificate", "", "encrypt with the certificate in `FILE` (PEM), its chain behind it")
	flags.StringVar(&f.key, "key", "", "the certificate's private key is in `FILE` (PEM)")
	flags.StringVar(&f.book, "notebook", defaultNotebook, "the notebook is the file `FILE` in the folder")
	return c
}

// servePage serves until the user ends it.
func (s *session) servePage(folder string, ip net.IP, f *pageFlags) error {
	book, open, address := f.book, f.open, net.JoinHostPort(f.address, strconv.Itoa(f.port))
	info, err := os.Stat(folder)
	switch {
	case err != nil:
		return wrong("a folder that is there", "there is no folder %s", quoted(folder))
	case !info.IsDir():
		return wrong("a folder", "%s is no folder", quoted(folder))
	}
	var secure *tls.Certificate
	if open {
		if secure, err = s.certificate(ip, f); err != nil {
			return err
		}
	}
	server, err := web.New(web.Options{Folder: folder, Notebook: book, Open: open, Secure: secure, Code: codeVersion(), Note: func(text string) { s.note("%s", text) }})
	if err != nil {
		return wrong("a folder that you may read, and a notebook in it", "%v", err)
	}
	defer server.Close()
	l, err := net.Listen("tcp", address)
	if errors.Is(err, syscall.EADDRINUSE) {
		return wrong("another --port; 0 takes any that is free", "%s is in use, perhaps by a page that is open already", address)
	} else if err != nil {
		return failed("an address of this machine", "cannot listen on %s: %v", address, err)
	}
	s.out.Write([]byte("The page is at " + server.Address(l) + " until Ctrl-C.\n"))
	if open {
		s.note("Whoever is in the network and has the address with its key can read and change this project. What is sent is encrypted; the certificate's fingerprint (SHA-256), for visitors to compare: %s", web.Fingerprint(secure))
	}
	if err := server.Serve(s.ctx, l); err != nil {
		return err
	}
	s.note("Stopped; everything that was begun is written.")
	return nil
}
