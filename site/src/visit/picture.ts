/** A photo from the camera, made small enough to be kept by the dozen. */

/** Enough to read a rating plate that fills a third of the picture. */
const LONGEST_SIDE = 1600;
const QUALITY = 0.8;

/** @returns a JPEG, turned upright, whose longer side is at most 1600 pixels; nothing when it is no picture. */
export async function scaledDown(file: Blob): Promise<Blob | undefined> {
  const picture = await createImageBitmap(file, { imageOrientation: "from-image" }).catch(() => undefined);
  if (picture === undefined) return undefined;
  const scale = Math.min(1, LONGEST_SIDE / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(picture.width * scale));
  canvas.height = Math.max(1, Math.round(picture.height * scale));
  const pen = canvas.getContext("2d");
  if (pen === null) return undefined;
  // JPEG knows no transparency: without paper it would become black.
  pen.fillStyle = "#fff";
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  // Drawing anew leaves out where and with what it was taken.
  return new Promise((resolve) => canvas.toBlob((jpeg) => resolve(jpeg ?? undefined), "image/jpeg", QUALITY));
}
