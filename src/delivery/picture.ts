/** A drawing as PNG: mail programs show no SVG. */
import { createRequire } from 'node:module';
import type { ResvgRenderOptions } from '@resvg/resvg-js';

/** Twice what a mail shows it at, so that it is sharp on fine screens. */
const WIDTH_PX = 1240;

/** A strip drawn by mistake must not fill the memory. */
const MOST_PIXELS = 4_000_000;

/**
 * The same bytes for the same drawing. Loaded only here: whoever has no picture to send can do without the native
 * package, and one that cannot be loaded is a failure of the picture, not of the message.
 *
 * @throws Error when it cannot be drawn
 */
export async function drawPng(svg: string): Promise<Buffer> {
  const { Resvg } = await import('@resvg/resvg-js');
  const font = fontOptions();
  const { width, height } = new Resvg(svg, { font });
  if (!(width > 0 && height > 0)) throw new Error('The drawing has no size');
  if ((WIDTH_PX * WIDTH_PX * height) / width > MOST_PIXELS) throw new Error('The drawing is too tall');
  return new Resvg(svg, { font, fitTo: { mode: 'width', value: WIDTH_PX } }).render().asPng();
}

/** Fresh machines have no fonts; and whatever fonts a machine has, the picture is the same. */
function fontOptions(): NonNullable<ResvgRenderOptions['font']> {
  const require = createRequire(import.meta.url);
  return {
    loadSystemFonts: false,
    fontFiles: [
      require.resolve('dejavu-fonts-ttf/ttf/DejaVuSans.ttf'),
      require.resolve('dejavu-fonts-ttf/ttf/DejaVuSans-Bold.ttf'),
    ],
    defaultFontFamily: 'DejaVu Sans',
    sansSerifFamily: 'DejaVu Sans',
    serifFamily: 'DejaVu Sans',
    monospaceFamily: 'DejaVu Sans',
  };
}
