// Where the built files are: plain names to hashed ones, as the server embeds
// them.

let names: Promise<Record<string, string>> | null = null;

/** The address of a built file, such as "kernel.wasm.gz". */
export async function assetURL(name: string): Promise<string> {
  names ??= fetch("/static/manifest.json").then((answer) => {
    if (!answer.ok) throw new Error(`the list of files answered ${answer.status}`);
    return answer.json() as Promise<Record<string, string>>;
  });
  try {
    const file = (await names)[name];
    if (!file) throw new Error(`there is no file ${name}`);
    return `/static/${file}`;
  } catch (error) {
    names = null;
    throw error;
  }
}
