// A photo on the device: read, turned the right way up, made no larger than is
// of use, and never sent anywhere.

/** The longer side that is kept, in points: finer than a hand traces, and small
 *  enough for a tablet's memory. */
const longest = 2400;

/** Draws a picture file onto a canvas. */
export async function showPhoto(file: Blob, canvas: HTMLCanvasElement): Promise<void> {
  let bitmap: ImageBitmap;
  try {
    bitmap = await createImageBitmap(file);
  } catch {
    throw new Error("This picture cannot be read here. Take it as JPEG or PNG.");
  }
  const shrink = Math.min(1, longest / Math.max(bitmap.width, bitmap.height));
  canvas.width = Math.round(bitmap.width * shrink);
  canvas.height = Math.round(bitmap.height * shrink);
  const context = canvas.getContext("2d");
  if (!context) throw new Error("This browser cannot draw the picture.");
  context.imageSmoothingQuality = "high";
  context.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  bitmap.close();
}

/** The photo as it is kept: the same points as on the canvas, so that an outline
 *  fits on it later. */
export async function photoBytes(canvas: HTMLCanvasElement): Promise<Uint8Array> {
  const blob = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve, "image/jpeg", 0.9));
  if (!blob) throw new Error("The photo could not be kept.");
  return new Uint8Array(await blob.arrayBuffer());
}
