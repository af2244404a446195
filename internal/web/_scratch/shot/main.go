package main

// usage: shot base path outprefix [full]
import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/png"
	"os"
	"strings"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

func must(err error) {
	if err != nil {
		panic(err)
	}
}

func main() {
	base, path, out := os.Args[1], os.Args[2], os.Args[3]
	lights := strings.Split("day,lamp,red", ",")
	sizes := [][2]int64{{1440, 900}, {360, 740}}
	full := len(os.Args) > 4
	ctx, cancel := chromedp.NewExecAllocator(context.Background(), append(chromedp.DefaultExecAllocatorOptions[:], chromedp.NoSandbox, chromedp.ExecPath("/usr/bin/chromium"))...)
	defer cancel()
	ctx, cancel = chromedp.NewContext(ctx)
	defer cancel()
	ctx, cancel = context.WithTimeout(ctx, 120*time.Second)
	defer cancel()
	must(chromedp.Do(ctx))
	for _, sz := range sizes {
		for _, l := range lights {
			must(chromedp.Do(ctx, chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
				_, err := cdp.Call(ctx, t, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: sz[0], Height: sz[1], DeviceScaleFactor: 1, Mobile: sz[0] < 500})
				if err != nil {
					return err
				}
				_, err = cdp.Call(ctx, t, network.SetCookie, network.SetCookieParams{Name: "light", Value: l, URL: base})
				return err
			}), chromedp.Navigate(base+path), chromedp.Sleep(250*time.Millisecond)))
			var buf []byte
			must(chromedp.Do(ctx, chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
				p := page.CaptureScreenshotParams{}
				if full {
					b := true
					p.CaptureBeyondViewport = &b
					m, err := cdp.Call(ctx, t, page.GetLayoutMetrics, cdp.Empty{})
					if err != nil {
						return err
					}
					p.Clip = &page.Viewport{X: 0, Y: 0, Width: float64(sz[0]), Height: m.CSSContentSize.Height, Scale: 1}
				}
				r, err := cdp.Call(ctx, t, page.CaptureScreenshot, p)
				if err != nil {
					return err
				}
				buf = r.Data
				return nil
			})))
			name := fmt.Sprintf("%s-%d-%s.png", out, sz[0], l)
			must(os.WriteFile(name, buf, 0o644))
			img, err := png.Decode(bytes.NewReader(buf))
			must(err)
			w, err := chromedp.Run(ctx, chromedp.Evaluate[float64]("document.documentElement.scrollWidth"))
			must(err)
			fmt.Println(name, img.Bounds().Size(), "scrollWidth", w, "greenblue", maxGB(img))
		}
	}
}

func maxGB(img image.Image) (m uint32) {
	b := img.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			_, g, bl, _ := img.At(x, y).RGBA()
			m = max(m, g>>8, bl>>8)
		}
	}
	return
}
