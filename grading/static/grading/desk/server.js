/**
 * One question to the server, answered in JSON. Never throws: status 0 is no network.
 *
 * @param {string} url
 * @param {string} [csrf]
 * @param {object} [body] sent by POST where there is one
 * @returns {Promise<{status: number, body: any}>}
 */
export async function ask(url, csrf = "", body) {
  try {
    const response = await fetch(url, {
      method: body ? "POST" : "GET",
      headers: {
        Accept: "application/json",
        ...(body && { "Content-Type": "application/json", "X-CSRFToken": csrf }),
      },
      body: body && JSON.stringify(body),
      redirect: "error",
      signal: AbortSignal.timeout(20_000),
    });
    const isJson = response.headers.get("Content-Type")?.startsWith("application/json");
    return { status: response.status, body: isJson ? await response.json() : null };
  } catch {
    return { status: 0, body: null };
  }
}
