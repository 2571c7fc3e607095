// @ts-check
// A session that was ended from elsewhere: the page where one signs in lets this phone forget, so it is gone to at
// once.

/** Leave, if the server says that this session was ended. @param {Response} answer
 * @returns {Promise<boolean>} whether it is left */
export async function leaveIfEnded(answer) {
  if (answer.status !== 401) return false;
  const told = await answer.clone().json().catch(() => ({}));
  if (told.ended !== true) return false;
  location.replace(`/sign-in/?next=${encodeURIComponent(location.pathname)}`);
  return true;
}
